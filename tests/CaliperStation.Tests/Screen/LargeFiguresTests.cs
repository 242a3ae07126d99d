using CaliperStation.Screen;
using CsCheck;

namespace CaliperStation.Tests.Screen;

public class LargeFiguresTests
{
    private static readonly string[] Values =
        ["16½ t", "-½ t", "1 15/32 in", "0.0000 in", "-12.3456 in", "123.45 mm", "+7.89 mm", "0", "20 t", "9 63/64 in", "٣٫٥ mm", "1e9 mm", "漢 mm"];

    [Fact]
    public void No_digit_is_ever_cut()
    {
        foreach (string value in Values)
        {
            for (int width = 1; width <= 200; width += width < 80 ? 1 : 5)
            {
                foreach (int height in (int[])[1, 3, 5, 10])
                {
                    IReadOnlyList<string> rows = LargeFigures.Render(value, width, height);
                    Assert.InRange(rows.Count, 1, height);
                    Assert.All(rows, row => Assert.True(TextCells.Columns(row) <= width));
                    Assert.True(ReadBack(rows) == value || (rows[0] == "…" && TextCells.Columns(value) > width), $"{value} at {width}×{height}");
                }
            }
        }
    }

    [Fact]
    public void Random_values_read_back_at_random_sizes() =>
        Gen.Select(Of("", "-", "+"), Gen.Int[0, 99999], Of("", ".5", ".0625", "½", " 7/64"), Of(" t", " in", " mm", ""), Gen.Int[20, 200], Gen.Int[1, 12])
            .Sample(
                (sign, whole, part, unit, width, height) =>
                {
                    string value = $"{sign}{whole}{part}{unit}";
                    Assert.Equal(value, ReadBack(LargeFigures.Render(value, width, height)));
                },
                iter: 500);

    [Fact]
    public void A_larger_face_is_used_as_soon_as_it_fits()
    {
        Assert.Equal([1, 1, 3, 3, 5, 5, 10], [.. new[] { (6, 9), (49, 2), (49, 3), (20, 9), (49, 5), (75, 9), (90, 10) }.Select(size => LargeFigures.Render("16½ t", size.Item1, size.Item2).Count)]);
    }

    [Theory]
    [InlineData("large", "0123456789", 5)]
    [InlineData("large-rest", "+-½/ .t in m", 5)]
    [InlineData("small", "0123456789+-½/ .t in m", 3)]
    [InlineData("double", "16½ t", 10)]
    public void A_face_looks_as_it_was_approved(string name, string text, int rows) =>
        Golden.Matches("face-" + name, string.Join('\n', LargeFigures.Render(text, 200, rows).Select(row => row.TrimEnd())) + "\n");

    private static Gen<string> Of(params string[] texts) => Gen.Int[0, texts.Length - 1].Select(index => texts[index]);

    /// <summary>Reads a drawn value as an eye would: by the shapes of its digits.</summary>
    private static string ReadBack(IReadOnlyList<string> rows) => rows.Count switch
    {
        10 => ReadBack([.. Enumerable.Range(0, 5).Select(row => Halve(rows[row * 2], rows[(row * 2) + 1]))]),
        5 => Shapes(rows, FigureGlyphs.Large, 2),
        3 => Shapes(rows, FigureGlyphs.Small, 1),
        _ => rows[0],
    };

    private static string Halve(string upper, string lower) => string.Concat(Enumerable.Range(0, upper.Length / 2).Select(column =>
        (upper[column * 2], lower[column * 2]) switch { ('█', '█') => '█', ('█', _) => '▀', (_, '█') => '▄', _ => ' ' }));

    private static string Shapes(IReadOnlyList<string> rows, Func<char, string[]?> glyphOf, int gap)
    {
        string read = string.Empty;
        int column = 0;
        while (column < rows[0].Length)
        {
            // Wider ones first: an n is the beginning of an m.
            char found = "½m0123456789n+-/t.i ".First(character => IsAt(rows, glyphOf(character)!, column));
            read += found;
            column += glyphOf(found)![0].Length + gap;
        }

        // A unit in plain letters stands on the last row, after the digits of the others.
        return rows[^1].Length > rows[0].Length ? read + rows[^1][rows[0].Length..] : read;
    }

    private static bool IsAt(IReadOnlyList<string> rows, string[] glyph, int column) =>
        Enumerable.Range(0, glyph.Length).All(row => rows[row].AsSpan(Math.Min(column, rows[row].Length)).StartsWith(glyph[row], StringComparison.Ordinal));
}
