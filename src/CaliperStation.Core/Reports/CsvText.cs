using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Reports;

/// <summary>Text as a field of CSV (RFC 4180).</summary>
/// <remarks>
/// A text that a spreadsheet would take for a formula (one that begins with <c>=</c>, <c>+</c>, <c>-</c>, <c>@</c>, a tab or
/// a carriage return: OWASP, "CSV Injection") gets an apostrophe before it.
/// </remarks>
internal static class CsvText
{
    internal static string Field(string text)
    {
        string safe = PrintableText.Escape(text);
        if (safe.Length > 0 && safe[0] is '=' or '+' or '-' or '@' or '\t' or '\r')
        {
            safe = "'" + safe;
        }

        return safe.AsSpan().ContainsAny(",\"\r\n") ? $"\"{safe.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : safe;
    }
}
