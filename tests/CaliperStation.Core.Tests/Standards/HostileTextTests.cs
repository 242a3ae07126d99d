using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CsCheck;

namespace CaliperStation.Core.Tests.Standards;

public class HostileTextTests
{
    private static readonly string Quayside = StandardFiles.Text("quayside-parade.toml");

    private static readonly string[] Scraps =
    [
        "\"", "'", "\"\"\"", "[", "]", "[[", "{", "}", "=", ",", ".", "\n", "\r", "#", "\\", "\\u001b", "\\U0010FFFF", "\\UFFFFFFFF", "\\uD800", "\u001b[2J", "\u202e", "\uD83D", "\uDE00", "😀", "\0",
        "[[item]]\n", "[[step]]\n", "[item]\n", "id = \"rack\"\n", "nan", "inf", "-1e400", "99999999999999999999", "0x7F", "1979-05-27", "true", "9/0", "1 1/128", "1e9 in", "½",
        "rack", "badge", "when = { badge-2-gap = \"> 0\" }\n", "rows = { count = 3, per-row = 2, part = [1, 1] }\n", "stands_on = \"badge-2\"\n",
    ];

    private static readonly Gen<string> Mutated = Gen.Select(Gen.Int[0, Quayside.Length], Gen.Int[0, 40], Gen.Int[0, Scraps.Length - 1].Select(i => Scraps[i])).Array[1, 6].Select(changes =>
    {
        StringBuilder text = new(Quayside);
        foreach ((int at, int cut, string scrap) in changes)
        {
            int from = Math.Min(at, text.Length);
            text.Remove(from, Math.Min(cut, text.Length - from)).Insert(from, scrap);
        }

        return text.ToString();
    });

    [Fact]
    public void A_good_file_changed_at_random_loads_or_is_refused_and_every_fault_lies_in_the_text()
    {
        Mutated.Sample(
            text =>
            {
                StandardLoad load = StandardText.Load(text);
                int lines = text.Count(c => c == '\n') + 1;
                Assert.NotEqual(load.IsStandard, load.Faults.Count > 0);
                Assert.All(load.Faults, fault =>
                {
                    Assert.InRange(fault.Line, 1, lines);
                    Assert.True(fault.Column >= 1);
                    Assert.Equal(PrintableText.Escape(fault.Message), fault.Message);
                    Assert.Equal(PrintableText.Escape(fault.Instead), fault.Instead);
                });
                string shown = FaultText.All("file.toml", text, load.Faults);
                Assert.Equal(PrintableText.Escape(shown.Replace("\n", "", StringComparison.Ordinal)), shown.Replace("\n", "", StringComparison.Ordinal));
                if (load.IsStandard)
                {
                    Plan plan = Plan.For(load.Standard, new Dictionary<string, string>());
                    Assert.NotEmpty(StandardTable.Text(plan) + StandardTable.Markdown(plan) + StandardTable.Json(plan));
                }
            },
            iter: 400);
    }

    [Fact]
    public void Junk_is_refused()
    {
        Gen.String.Sample(text => Assert.False(StandardText.Load(text).IsStandard), iter: 300);
        Gen.Byte.Array[0, 300].Sample(bytes => Assert.False(StandardText.Load(bytes).IsStandard), iter: 300);
    }

    [Theory]
    [InlineData("[")]
    [InlineData("{a=")]
    [InlineData("[[")]
    [InlineData("a.")]
    public void Nesting_without_end_is_refused(string opening)
    {
        Assert.False(StandardText.Load("a = " + string.Concat(Enumerable.Repeat(opening, 100_000))).IsStandard);
        Assert.False(StandardText.Load(string.Concat(Enumerable.Repeat(opening, 50_000)) + "b = 1").IsStandard);
    }
}
