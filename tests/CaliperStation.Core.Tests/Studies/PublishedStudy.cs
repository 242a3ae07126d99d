using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Judging;

namespace CaliperStation.Core.Tests.Studies;

/// <summary>Published readings as whole numbers: a decimal of the table is so many nanometres, whatever its unit was.</summary>
internal static class PublishedStudy
{
    /// <summary>The rows of a file in TestData/Studies.</summary>
    internal static IReadOnlyList<PublishedRow> Rows(string file) => [.. PublishedRows.Of(file, "Studies")];

    /// <summary>A decimal as it stands in the file, so many decimals in; a file that holds more is refused.</summary>
    internal static Length Whole(string text, int decimals)
    {
        decimal scaled = decimal.Parse(text, CultureInfo.InvariantCulture) * (decimal)Math.Pow(10, decimals);
        Assert.Equal(decimal.Truncate(scaled), scaled);
        return Length.FromNanometres((long)scaled);
    }

    /// <summary>A crossed study of parts, hands (under the name of that column) and trials.</summary>
    internal static CrossedStudy Crossed(string file, string hand, int decimals, StudyOptions options)
    {
        StudyReading[] readings = Readings(file, hand, decimals);
        return CrossedStudy.Of([.. readings.Select(reading => reading.Hand).Distinct()], [.. readings.Select(reading => reading.Point).Distinct()], 3, readings, options);
    }

    /// <summary>Its readings.</summary>
    internal static StudyReading[] Readings(string file, string hand, int decimals) =>
        [.. Rows(file).Select(row => new StudyReading(row[hand], row["part"], Whole(row["value"], decimals)))];
}
