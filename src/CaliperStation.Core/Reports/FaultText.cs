using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Reports;

/// <summary>Shows faults of a text with the line they are in and a caret beneath the very place.</summary>
public static class FaultText
{
    // Of a longer line only what is about the fault is shown: it must stand on one line of a terminal.
    private const int Window = 100;

    /// <summary>All faults of one file, each as four lines of text; ends with a line feed.</summary>
    /// <param name="file">What to call the file.</param>
    /// <param name="source">Its text, as it was loaded.</param>
    /// <param name="faults">Its faults.</param>
    public static string All(string file, string source, IEnumerable<TextFault> faults)
    {
        string[] lines = source.TrimStart('\uFEFF').Split('\n');
        StringBuilder text = new();
        foreach (TextFault fault in faults)
        {
            Append(text, file, lines, fault);
        }

        return text.ToString();
    }

    /// <summary>One fault of one file.</summary>
    public static string One(string file, string source, TextFault fault) => All(file, source, [fault]);

    private static void Append(StringBuilder text, string file, string[] lines, TextFault fault)
    {
        text.Append(TableText.Line(FormattableString.Invariant($"{file}:{fault.Line}:{fault.Column}: {fault.Message}")));
        if (fault.Line <= lines.Length)
        {
            (string shown, int caret) = Excerpt(lines[fault.Line - 1].TrimEnd('\r'), fault.Column - 1);
            string number = fault.Line.ToString(CultureInfo.InvariantCulture);
            text.Append(CultureInfo.InvariantCulture, $"  {number} | {shown}\n");
            text.Append(CultureInfo.InvariantCulture, $"  {new string(' ', number.Length)} | {new string(' ', caret)}^\n");
        }

        text.Append(TableText.Line($"  write instead: {fault.Instead}"));
    }

    // Escaping widens what stands before the caret, so the caret is placed by the escaped text; a tab counts as one blank.
    private static (string Shown, int Caret) Excerpt(string line, int codePoints)
    {
        List<string> pieces = [];
        for (int index = 0; index < line.Length;)
        {
            int length = char.IsSurrogatePair(line, index) ? 2 : 1;
            string piece = line.Substring(index, length);
            pieces.Add(piece == "\t" ? " " : PrintableText.Escape(piece));
            index += length;
        }

        int at = Math.Min(codePoints, pieces.Count);
        int first = pieces.Count <= Window ? 0 : Math.Clamp(at - (Window / 2), 0, pieces.Count - Window);
        int last = Math.Min(pieces.Count, first + Window);
        string before = (first > 0 ? "…" : string.Empty) + string.Concat(pieces[first..at]);
        string after = string.Concat(pieces[at..last]) + (last < pieces.Count ? "…" : string.Empty);
        int width = before.Count(c => !char.IsLowSurrogate(c));
        return (before + after, width);
    }
}
