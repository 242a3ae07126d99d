using CaliperStation.Screen;
using CsCheck;

namespace CaliperStation.Tests.Screen;

public class TextCellsTests
{
    [Fact]
    public void Wrapped_text_keeps_every_letter_and_never_overflows() =>
        Gen.Select(Gen.OneOf(Gen.Char['a', 'z'], Gen.Const(' '), Gen.Int[0, 2].Select(index => "漢é½"[index])).Array[0, 120], Gen.Int[2, 40]).Sample(
            (letters, columns) =>
            {
                string text = new(letters);
                IReadOnlyList<string> lines = TextCells.Wrap(text, columns);
                Assert.All(lines, line => Assert.InRange(TextCells.Columns(line), 1, columns));
                Assert.Equal(text.Replace(" ", string.Empty, StringComparison.Ordinal), string.Concat(lines).Replace(" ", string.Empty, StringComparison.Ordinal));
            },
            iter: 300);

    [Fact]
    public void A_word_is_not_broken_when_a_line_could_hold_it() =>
        Assert.Equal(["a bb", "ccc", "dddde", "ee f"], TextCells.Wrap("a bb ccc ddddeee f", 5));

    [Fact]
    public void A_cut_is_seen()
    {
        Assert.Equal("abc…", TextCells.Fit("abcdef", 4));
        Assert.Equal("漢…", TextCells.Fit("漢漢漢", 4));
        Assert.Equal(["aaaa", "bbb…"], TextCells.Wrap("aaaa bbbb cccc", 4, 2));
    }

    [Fact]
    public void A_name_is_cut_at_a_word()
    {
        Assert.Equal("rack flat", TextCells.FitName("rack flat", 9));
        Assert.Equal("rack flat …", TextCells.FitName("rack flat on the cloth", 13));
        Assert.Equal("rac…", TextCells.FitName("racks flat", 4));
    }

    [Fact]
    public void Figures_are_left_out_whole()
    {
        Assert.Equal("steady · 33/64 in", TextCells.FitParts("steady", "33/64 in · 0.5156 in", 27));
        Assert.Equal("steady", TextCells.FitParts("steady", "33/64 in · 0.5156 in", 15));
    }

    [Fact]
    public void Escape_sequences_and_heaps_of_marks_are_made_harmless()
    {
        Assert.Equal(@"\x1B[31mred", string.Concat(TextCells.Elements("\e[31mred").Select(element => element.Text)));
        Assert.Equal(["a", "?", "b"], TextCells.Elements("a" + "e" + new string('\u0301', 20) + "b").Select(element => element.Text));
    }
}
