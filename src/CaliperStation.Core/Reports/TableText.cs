using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Reports;

/// <summary>Rows of cells in columns for a terminal, and texts in lines: two blanks between columns, nothing behind the last cell, each line ended by a line feed.</summary>
/// <remarks>
/// Every cell and every text is made safe to print here, before it is measured and broken: a line feed that leaves is one that was put there.
/// A row that is wider than the terminal is broken at blanks, within the columns that can bear it: the widest is made narrower first, and none so narrow that it can
/// hardly be read, or narrower than its longest word. Where that is not enough, the last columns stand below the row.
/// </remarks>
public sealed partial class TableText
{
    /// <summary>The width where there is no terminal: a row is one line, as programs that read lines like it.</summary>
    public const int Unbounded = int.MaxValue;

    private const string Between = "  ";
    private const string Below = "    ";
    private const int LeastColumn = 12;   // the columns that hold more are texts
    private const int LeastRoom = 8;   // for words, however narrow the terminal is
    private const char Fixed = '\u00a0';

    private readonly int[] _widths;
    private readonly int _beside;   // columns that stand beside one another; the others stand below
    private readonly int _room;
    private readonly string _before;

    /// <summary>Columns that fit all of these rows.</summary>
    /// <param name="rows">The rows; all of one length.</param>
    /// <param name="width">How wide the terminal is.</param>
    /// <param name="before">What stands before each line.</param>
    internal TableText(IReadOnlyList<string[]> rows, int width, string before = "")
    {
        rows = [.. rows.Select(Safe)];
        (_before, _room, _beside) = (before, Math.Max(1, width - before.Length), rows.Count == 0 ? 0 : rows[0].Length);
        _widths = [.. Enumerable.Range(0, _beside).Select(column => rows.Max(row => row[column].Length))];
        int[] least = [.. Enumerable.Range(0, _beside).Select(column => Math.Min(_widths[column], rows.Max(row => Whole(row[column]).Split(' ').Max(word => Math.Max(LeastColumn, word.Length)))))];
        while (_beside > 1 && Total(least) > _room)
        {
            _beside--;
        }

        while (Total(_widths) > _room && Enumerable.Range(0, _beside).Where(column => _widths[column] > least[column]).ToList() is { Count: > 0 } able)
        {
            _widths[able.MaxBy(column => _widths[column])]--;
        }
    }

    /// <summary>All rows, one below the other.</summary>
    internal static string Of(IReadOnlyList<string[]> rows, int width, string before = "")
    {
        TableText table = new(rows, width, before);
        return string.Concat(rows.Select(table.Row));
    }

    /// <summary>A text on one line, however long it is.</summary>
    internal static string Line(string text) => PrintableText.Escape(text) + "\n";

    /// <summary>A text in lines no wider than the terminal.</summary>
    /// <param name="text">The text.</param>
    /// <param name="width">How wide the terminal is.</param>
    /// <param name="first">What stands before the first line.</param>
    /// <param name="next">What stands before the others.</param>
    public static string Lines(string text, int width, string first, string next)
    {
        text = PrintableText.Escape(text);
        if (first.Length + text.Length <= width)
        {
            return $"{first}{text}\n";
        }

        width = Math.Max(width, Math.Max(first.Length, next.Length) + LeastRoom);
        string head = Fixed + first.Replace(' ', Fixed);   // it is no place to break at
        IReadOnlyList<string> lines = PaperText.Wrap(head + Whole(text), width, line => line[0] == Fixed ? line.Length - 1 : line.Length + next.Length);
        return string.Concat(lines.Select((line, at) => at == 0 ? $"{first}{Parted(line[head.Length..])}\n" : $"{next}{Parted(line)}\n"));
    }

    /// <summary>Lines of which those that are wider than the terminal go on below their beginning; each ends with a line feed.</summary>
    internal static string Fitted(IEnumerable<string> lines, int width) => string.Concat(lines.Select(line =>
    {
        string indent = line[..^line.TrimStart(' ').Length];
        return Lines(line.TrimStart(' '), width, indent, indent + Between);
    }));

    /// <summary>One of the rows.</summary>
    internal string Row(string[] row)
    {
        row = Safe(row);
        IReadOnlyList<string>[] cells = [.. row.Take(_beside).Select((cell, column) => Wrapped(cell, _widths[column]))];
        StringBuilder text = new();
        for (int line = 0; line < cells.Max(cell => cell.Count); line++)
        {
            text.Append(_before).Append(string.Join(Between, cells.Select((cell, column) => (line < cell.Count ? cell[line] : "").PadRight(_widths[column]))).TrimEnd()).Append('\n');
        }

        string rest = string.Join(", ", row.Skip(_beside).Where(cell => cell is not ("" or "-")));
        return text + (rest.Length > 0 ? Lines(rest, _room + _before.Length, _before + Below, _before + Below) : "");
    }

    private static string[] Safe(string[] row) => [.. row.Select(PrintableText.Escape)];

    private static IReadOnlyList<string> Wrapped(string text, int width) =>
        text.Length <= width ? [text] : [.. PaperText.Wrap(Whole(text), Math.Max(1, width), line => line.Length).Select(Parted)];

    /// <summary>A number stays with its unit.</summary>
    private static string Whole(string text) => Unit().Replace(text, Fixed.ToString());

    private static string Parted(string line) => line.Replace(Fixed, ' ');

    private long Total(int[] widths) => widths.Take(_beside).Sum(width => (long)width + Between.Length) - Between.Length;

    [GeneratedRegex(@"(?<=[0-9½]) (?=(?:t|in|mm|mrad)\b|%)|(?<=[<>]) (?=[0-9])", RegexOptions.CultureInvariant)]
    private static partial Regex Unit();
}
