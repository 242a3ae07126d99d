using System.Globalization;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>A line across a plot, with its value in words.</summary>
/// <param name="Nanometres">Where.</param>
/// <param name="Words">The value as it is shown.</param>
public sealed record PlotLine(double Nanometres, string Words);

/// <summary>One series to be plotted: values, lines and words.</summary>
/// <param name="Name">What it is of.</param>
/// <param name="Standing">Of which standard, how many coats, and whether it is out.</param>
/// <param name="Count">How many coats there are; of so many the newest are plotted.</param>
/// <param name="Said">What is out, and how far what is usual is off; may be empty.</param>
/// <param name="Values">The deviations in nanometres, the newest last.</param>
/// <param name="Averages">The moving average at each; empty where there are no limits.</param>
/// <param name="Centre">What is usual; null where there are no limits.</param>
/// <param name="Lower">The lower limit; null where there is none.</param>
/// <param name="Upper">The upper limit; null where there is none.</param>
public sealed record TrendPlot(string Name, string Standing, long Count, IReadOnlyList<string> Said, IReadOnlyList<double> Values, IReadOnlyList<double> Averages, PlotLine? Centre, PlotLine? Lower, PlotLine? Upper)
{
    /// <summary>The plots of all series that have a point, in the order of the tables.</summary>
    /// <param name="groups">What was gathered.</param>
    /// <param name="standardOf">The standard with that hash, for its words and its unit; null where it is not at hand.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    public static IReadOnlyList<TrendPlot> Of(IReadOnlyList<TrendGroup> groups, Func<string, Standard?> standardOf, TimeZoneInfo zone) =>
    [
        .. groups.SelectMany(group =>
        {
            TrendWords words = new(group, standardOf(group.LastSha256), zone);
            return group.Series.Where(series => series.Points.Count > 0).Select(series => Of(series, group, words));
        }),
    ];

    /// <summary>What is usual and the limits; none where there are no limits.</summary>
    public IReadOnlyList<PlotLine> Lines { get; } = [.. new[] { Centre, Lower, Upper }.OfType<PlotLine>()];

    /// <summary>True for a value beyond the limits.</summary>
    public bool IsBeyond(double nanometres) => nanometres < Lower?.Nanometres || nanometres > Upper?.Nanometres;

    /// <summary>From the lowest to the highest of all that is drawn, in nanometres; without limits the nominal is among it.</summary>
    public (double Low, double High) Range => (Math.Min(Values.Min(), Lower?.Nanometres ?? 0), Math.Max(Values.Max(), Upper?.Nanometres ?? 0));

    internal static TrendPlot Of(TrendSeries series, TrendGroup group, TrendWords words)
    {
        PlotLine? Line(double? at) => at is { } value ? new(value, words.Signed(value)) : null;
        ControlLimits? limits = series.Chart.Limits;
        string standing = string.Create(CultureInfo.InvariantCulture,
            $"{group.Standard}, {group.Edition}: {Counted.Of(series.Count, "coat")}, {words.SeriesCells(series)[^1]}");
        return new(words.Name(series), standing, series.Count, [.. words.Said(series)], series.Chart.Values, series.Ewma?.Averages ?? [], Line(limits?.Centre), Line(limits?.Lower), Line(limits?.Upper));
    }
}
