using System.Globalization;
using System.Text.RegularExpressions;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>Published rows kept verbatim in TestData, each with the address it was seen at, so that no figure is retyped.</summary>
internal static class PublishedRows
{
    /// <summary>A row of worked_examples.csv by its id.</summary>
    internal static PublishedRow Example(string id) => Of("worked_examples.csv").Single(row => row["id"] == id);

    /// <summary>All rows of a file, by the names of its first line.</summary>
    internal static IEnumerable<PublishedRow> Of(string file, string folder = "Judging")
    {
        List<List<string>> lines = [.. File.ReadLines(Path.Combine(AppContext.BaseDirectory, "TestData", folder, file)).Select(Cells)];
        return lines.Skip(1).Select(cells => new PublishedRow(lines[0].Zip(cells).ToDictionary(pair => pair.First, pair => pair.Second)));
    }

    /// <summary>The cells of one line, quoted ones without their quotes.</summary>
    private static List<string> Cells(string line) =>
        [.. Regex.Matches(line, "(?:^|,)(?:\"((?:[^\"]|\"\")*)\"|([^,]*))").Select(cell => (cell.Groups[1].Value + cell.Groups[2].Value).Replace("\"\"", "\"", StringComparison.Ordinal))];
}

/// <summary>One published row.</summary>
internal sealed class PublishedRow(IReadOnlyDictionary<string, string> cells)
{
    internal string this[string column] => cells[column];

    /// <summary>A cell that is a number, or null when it is empty.</summary>
    internal double? Number(string column) => cells[column].Length == 0 ? null : Parse(cells[column]);

    /// <summary>The number behind <c>name=</c> in a cell of text.</summary>
    internal double Number(string column, string name) => Parse(Text(column, name));

    /// <summary>
    /// Checks a value against the number behind <c>name=</c>, to the digits it was published with; one that was computed again also against the
    /// published result, where that has the name, but for the one figure that a row says DIFFERS of.
    /// </summary>
    internal void Agrees(string column, string name, double value)
    {
        Agrees(Text(column, name), value);
        if (column == "recomputed" && Find("result", name) is { } published && !IsMisprint(published))
        {
            Agrees(published, value);
        }
    }

    /// <summary>Checks values against a list <c>a; b; c</c> of the published result, to its digits, but for the one figure that the row says DIFFERS of.</summary>
    /// <param name="first">What stands before the first figure.</param>
    /// <param name="values">As many as the list has.</param>
    internal void AgreesWithList(string first, params double[] values)
    {
        string[] published = [.. Regex.Match(cells["result"], $@"{Regex.Escape(first)}([-0-9.]+)(?:; ([-0-9.]+))*").Groups.Cast<Group>().Skip(1).SelectMany(group => group.Captures).Select(figure => figure.Value)];
        Assert.Equal(values.Length, published.Length);
        foreach ((string figure, double value) in published.Zip(values).Where(pair => !IsMisprint(pair.First)))
        {
            Agrees(figure, value);
        }
    }

    /// <summary>True for the published figure that, recomputed, comes out as another: the row says which.</summary>
    private bool IsMisprint(string published) => Regex.IsMatch(cells["recomputed"], $@"DIFFERS: .*?published {Regex.Escape(published)}(?![0-9.])");

    /// <summary>Checks a value against a whole cell, to the digits it was published with.</summary>
    internal static void Agrees(string published, double value)
    {
        string digits = published.Split('e', 'E')[0];
        double scale = Math.Pow(10, published.Length == digits.Length ? 0 : Parse(published[(digits.Length + 1)..]));
        int decimals = digits.Contains('.', StringComparison.Ordinal) ? digits.Length - digits.IndexOf('.', StringComparison.Ordinal) - 1 : 0;
        Assert.Equal(Parse(digits), value / scale, 0.5001 * Math.Pow(10, -decimals));
    }

    private string Text(string column, string name)
    {
        string? text = Find(column, name);
        Assert.True(text is not null, $"{name}= is not in \"{cells[column]}\"");
        return text;
    }

    private string? Find(string column, string name) =>
        Regex.Match(cells[column], $@"(?:^|[\s;(]){Regex.Escape(name)}=([-+]?[0-9.]+(?:e[-+]?[0-9]+)?)") is { Success: true } match ? match.Groups[1].Value.TrimEnd('.') : null;

    private static double Parse(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
