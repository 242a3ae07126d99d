using System.Text;

namespace CaliperStation.Core.Reports;

/// <summary>Rows of cells in columns for a terminal.</summary>
internal static class TableText
{
    /// <summary>One line a row, two blanks between columns, nothing behind the last cell; each line ends with a line feed.</summary>
    /// <param name="rows">The rows; all of one length.</param>
    /// <param name="before">What stands before each line.</param>
    internal static string Of(IReadOnlyList<string[]> rows, string before = "")
    {
        int[] widths = [.. Enumerable.Range(0, rows.Count == 0 ? 0 : rows[0].Length).Select(column => rows.Max(row => row[column].Length))];
        StringBuilder text = new();
        foreach (string[] row in rows)
        {
            text.Append(before).Append(string.Join("  ", row.Select((cell, column) => cell.PadRight(widths[column]))).TrimEnd()).Append('\n');
        }

        return text.ToString();
    }
}
