using System.Text.Json;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Tests.Reports;

public sealed class JsonTextTests
{
    [Theory]
    [InlineData("\u001b]0;x\u0007")]
    [InlineData("a\u202eb\u009bc\u00add\u2028")]
    [InlineData("\U000e0041 \U0001f600")]
    [InlineData("½ ± 1/32 \" \\ < >")]
    public void No_text_writes_on_a_terminal_and_a_reader_gets_it_back(string text)
    {
        string line = JsonText.Object(json => json.WriteString("t", text));

        Assert.DoesNotContain(line.EnumerateRunes(), rune => System.Text.Rune.GetUnicodeCategory(rune) is System.Globalization.UnicodeCategory.Control or System.Globalization.UnicodeCategory.Format);
        using JsonDocument read = JsonDocument.Parse(line);
        Assert.Equal(text, read.RootElement.GetProperty("t").GetString());
    }
}
