using System.Globalization;

namespace CaliperStation.Core.Reports;

/// <summary>A number of things in words: <c>1 reading</c>, <c>12 readings</c>.</summary>
internal static class Counted
{
    internal static string Of(long count, string word) => string.Create(CultureInfo.InvariantCulture, $"{count} {word}{(count == 1 ? "" : "s")}");
}
