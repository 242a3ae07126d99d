using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Records;

/// <summary>Tags from a text or CSV file, or the faults of its text.</summary>
/// <param name="Tags">In the order of the file, each once, whatever the case; empty when there is any fault.</param>
/// <param name="Faults">In the order of the text; empty when the file is good.</param>
public sealed record TagList(IReadOnlyList<string> Tags, IReadOnlyList<TextFault> Faults)
{
    /// <summary>Lines beyond this are not read: no parade has as many blouses.</summary>
    public const int MaxLines = 100_000;

    /// <summary>
    /// Reads a tag a line, or CSV (RFC 4180; also with semicolons or tabs): the column called <c>tag</c> where the first line
    /// has one, else the first column. Blank lines and lines that begin with <c>#</c> are passed over. Nothing is thrown for what the text holds.
    /// </summary>
    public static TagList Read(string text)
    {
        List<string> tags = [];
        HashSet<string> seen = new(BlouseTag.Comparer);
        List<TextFault> faults = [];
        (char separator, int column) = ('\0', -1);
        int number = 0;
        foreach (ReadOnlySpan<char> line in text.AsSpan().TrimStart('\uFEFF').EnumerateLines())
        {
            number++;
            if (number > MaxLines)
            {
                faults.Add(new TextFault(number, 1, "there are too many lines", $"at most {MaxLines} lines"));
                break;
            }

            if (line.IsWhiteSpace() || line.TrimStart()[0] == '#')
            {
                continue;
            }

            bool first = column < 0;
            separator = first ? SeparatorOf(line) : separator;
            if (Cells(line, separator) is not { } cells)
            {
                faults.Add(new TextFault(number, line.IndexOf('"') + 1, "a quotation mark is not closed, or text follows it", "a field on one line, in quotation marks or without any"));
                column = Math.Max(column, 0);
                continue;
            }

            int heading = first ? cells.FindIndex(cell => cell.Equals("tag", StringComparison.OrdinalIgnoreCase)) : -1;
            column = first ? Math.Max(heading, 0) : column;
            if (heading < 0 && Fault(cells, column, number) is { } fault)
            {
                faults.Add(fault);
            }
            else if (heading < 0 && seen.Add(cells[column]))
            {
                tags.Add(cells[column]);
            }
        }

        return faults.Count > 0 ? new TagList([], faults) : new TagList(tags, []);
    }

    private static TextFault? Fault(List<string> cells, int column, int line) =>
        column >= cells.Count ? new TextFault(line, 1, $"there is no field {column + 1}", "as many fields as the first line has")
        : BlouseTag.Validate(cells[column]) is { } fault ? new TextFault(line, 1, $"\"{PrintableText.Escape(Short(cells[column]))}\" is no tag", fault)
        : null;

    /// <summary>The first mark between fields that stands outside quotation marks; a comma when there is none.</summary>
    private static char SeparatorOf(ReadOnlySpan<char> line)
    {
        bool quoted = false;
        foreach (char letter in line)
        {
            quoted ^= letter == '"';
            if (!quoted && letter is (',' or ';' or '\t'))
            {
                return letter;
            }
        }

        return ',';
    }

    /// <summary>The fields of a line, trimmed; null when its quotation marks do not fit.</summary>
    private static List<string>? Cells(ReadOnlySpan<char> line, char separator)
    {
        List<string> cells = [];
        while (true)
        {
            line = line.TrimStart(' ');
            int end;
            if (line.StartsWith('"'))
            {
                int close = 1;
                while (close < line.Length && (line[close] != '"' || (close + 1 < line.Length && line[close + 1] == '"')))
                {
                    close += line[close] == '"' ? 2 : 1;
                }

                if (close >= line.Length)
                {
                    return null;
                }

                cells.Add(line[1..close].ToString().Replace("\"\"", "\"", StringComparison.Ordinal).Trim());
                ReadOnlySpan<char> after = line[(close + 1)..].TrimStart(' ');
                if (!after.IsEmpty && after[0] != separator)
                {
                    return null;
                }

                line = after;
                end = after.IsEmpty ? -1 : 0;
            }
            else
            {
                end = line.IndexOf(separator);
                cells.Add((end < 0 ? line : line[..end]).Trim().ToString());
            }

            if (end < 0)
            {
                return cells;
            }

            line = line[(end + 1)..];
        }
    }

    private static string Short(string name) => name.Length <= 60 ? name : name[..60] + "…";
}
