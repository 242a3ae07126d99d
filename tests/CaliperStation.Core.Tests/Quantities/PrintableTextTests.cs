using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CsCheck;

namespace CaliperStation.Core.Tests.Quantities;

public sealed class PrintableTextTests
{
    [Theory]
    [InlineData("Tag QG-017", "Tag QG-017")]
    [InlineData("16½ t", "16½ t")]
    [InlineData("Ärmel, 袖, рукав", "Ärmel, 袖, рукав")]
    [InlineData("\u001B[31mred", "\\x1B[31mred")]
    [InlineData("a\u001B]0;title\u0007b", "a\\x1B]0;title\\x07b")]
    [InlineData("a\u009B2Jb", "a\\x9B2Jb")]
    [InlineData("a\r\nb\tc", "a\\x0D\\x0Ab\\x09c")]
    [InlineData("a\u2028b\u2029c", "a\\u2028b\\u2029c")]
    [InlineData("a\u202Eb\u2066c", "a\\u202Eb\\u2066c")]
    [InlineData("a\u200Bb\uFEFFc", "a\\u200Bb\\uFEFFc")]
    [InlineData("a\u0000b\u007Fc", "a\\x00b\\x7Fc")]
    [InlineData("private \uE000", "private \\uE000")]
    [InlineData("", "")]
    public void What_could_steer_a_terminal_is_escaped_and_letters_stay(string text, string shown) =>
        Assert.Equal(shown, PrintableText.Escape(text));

    [Fact]
    public void Lone_surrogates_are_escaped_and_pairs_stay()
    {
        Assert.Equal("a\\uD83Db", PrintableText.Escape("a\uD83Db"));
        Assert.Equal("a\\uDE00b", PrintableText.Escape("a\uDE00b"));
        Assert.Equal("a\\uD83D", PrintableText.Escape("a\uD83D"));
        Assert.Equal("😀", PrintableText.Escape("😀"));
    }

    [Fact]
    public void Nothing_unprintable_survives_in_any_text() =>
        Gen.OneOf(
            Gen.Char.Array[0, 40],
            Gen.OneOf('\u001B', '[', 'm', '\n', '\u202E', '\uD83D', '\uDE00', 'a', '\u0085', '\u00AD', '\uDB40', '\uDC41').Array[0, 20])
            .Select(chars => new string(chars))
            .Sample(text => IsSafe(PrintableText.Escape(text)), iter: 10_000);

    /// <summary>So a text that one carrier hands to another is shown the same.</summary>
    [Fact]
    public void What_is_escaped_is_not_escaped_again() =>
        Gen.OneOf('\u001B', '\\', 'x', 'u', '\n', '\u202E', '\uD83D', '\uDE00', 'a', '\u0085', 'é').Array[0, 20].Select(chars => new string(chars))
            .Sample(text => PrintableText.Escape(PrintableText.Escape(text)) == PrintableText.Escape(text), iter: 2_000);

    [Fact]
    public void Wire_bytes_become_printable_ASCII_only() =>
        Gen.Byte.Array[0, 40].Sample(
            bytes => PrintableText.Escape(bytes).All(value => value is >= ' ' and <= '~'),
            iter: 2_000);

    [Fact]
    public void Wire_bytes_outside_ASCII_are_told_by_value()
    {
        Assert.Equal("+1.5\\x0D\\x0A", PrintableText.Escape("+1.5\r\n"u8));
        Assert.Equal("\\xFF\\x80~ ", PrintableText.Escape([0xFF, 0x80, 0x7E, 0x20]));
    }

    private static bool IsSafe(string shown)
    {
        // The categories of the Unicode standard, table 4-4, that have no glyph of their own.
        for (int index = 0; index < shown.Length;)
        {
            if (!Rune.TryGetRuneAt(shown, index, out Rune rune) || Rune.GetUnicodeCategory(rune) is
                UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate or UnicodeCategory.PrivateUse
                or UnicodeCategory.OtherNotAssigned or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator)
            {
                return false;
            }

            index += rune.Utf16SequenceLength;
        }

        return true;
    }
}
