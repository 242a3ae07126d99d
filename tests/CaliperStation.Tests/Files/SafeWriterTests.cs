using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;
using CsCheck;

namespace CaliperStation.Tests.Files;

/// <summary>What leaves by the door to the console.</summary>
public sealed class SafeWriterTests
{
    [Theory]
    [InlineData("plain\ntwo lines\r\n", "plain\ntwo lines\r\n")]
    [InlineData("a\u001b]0;title\a", @"a\x1B]0;title\x07")]
    [InlineData("a\rb\r\n", "a\\x0Db\r\n")]   // a return alone would let a text write over its own line
    [InlineData("\u0085\u009b2J\u007f", @"\x85\x9B2J\x7F")]   // C1 controls: CSI as one character
    [InlineData("\u202eabc\u2066", @"\u202Eabc\u2066")]
    [InlineData("Größe ½ 漢字 😀", "Größe ½ 漢字 😀")]
    public void Only_what_prints_and_line_ends_leave(string written, string left)
    {
        StringWriter whole = new(), pieces = new();
        using SafeWriter door = new(whole), slow = new(pieces);
        door.Write(written);
        foreach (char each in written.Replace("\r\n", "\n", StringComparison.Ordinal))
        {
            slow.Write(each);
        }

        Assert.Equal(left, whole.ToString());
        Assert.Equal(left.Replace("\r\n", "\n", StringComparison.Ordinal), pieces.ToString());
    }

    [Fact]
    public async Task Every_way_to_write_goes_through_it()
    {
        const string Esc = "\u001b";
        StringWriter inner = new() { NewLine = "\n" };
        await using (SafeWriter door = new(inner) { NewLine = "\n" })
        {
            door.Write('\u001b');
            door.Write(Esc.ToCharArray());
            door.Write(Esc.AsSpan());
            door.Write("{0}", Esc);
            door.Write(new StringBuilder(Esc));
            door.WriteLine(Esc);
            await door.WriteAsync('\u001b');
            await door.WriteAsync(Esc.AsMemory());
            await door.WriteLineAsync(Esc);
            await door.WriteLineAsync(Esc.AsMemory());
        }

        Assert.DoesNotContain('\u001b', inner.ToString());
        Assert.Equal(10, inner.ToString().Split(@"\x1B").Length - 1);
    }

    [Fact]
    public void Whatever_is_written_in_whatever_pieces_is_safe_and_nothing_printable_is_lost() => Gen.Select(Gen.String[Gen.Char, 0, 60], Gen.Int[1, 7]).Sample((text, piece) =>
    {
        StringWriter inner = new();
        using SafeWriter door = new(inner);
        for (int at = 0; at < text.Length; at += piece)
        {
            door.Write(text.AsSpan(at, Math.Min(piece, text.Length - at)));
        }

        door.Write("\n");
        string left = inner.ToString();
        Assert.All(left.Replace("\r\n", "\n", StringComparison.Ordinal).Split('\n'), line => Assert.Equal(PrintableText.Escape(line), line));
        Assert.All(text.Where(c => char.IsBetween(c, ' ', '~')), c => Assert.Contains(c, left));
    });

    [Fact]
    public void A_bar_goes_back_to_the_begin_of_its_line()
    {
        StringWriter inner = new();
        using SafeWriter door = new(inner);
        SafeWriter.Return(door);
        SafeWriter.Return(inner);

        Assert.Equal("\r\r", inner.ToString());
    }
}
