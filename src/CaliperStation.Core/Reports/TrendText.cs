using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>trend</c>: what drifts, as tables, in words, as a plot of characters and as JSON.</summary>
/// <remarks>The centre of a chart is what is usual for the series, so its signals say "than usual"; how far what is usual is off the nominal is said by itself.</remarks>
public static class TrendText
{
    /// <summary>Tables for a terminal and what is out, for each standard; ends with a line feed.</summary>
    /// <param name="groups">What was gathered.</param>
    /// <param name="standardOf">The standard with that hash, for its words and its unit; null where it is not at hand.</param>
    /// <param name="zone">The zone instants are shown in.</param>
    /// <param name="plotted">Draws every chart too.</param>
    /// <param name="width">How wide the terminal is.</param>
    public static string Text(IReadOnlyList<TrendGroup> groups, Func<string, Standard?> standardOf, TimeZoneInfo zone, bool plotted, int width = TableText.Unbounded)
    {
        if (groups.Count == 0)
        {
            return "There is nothing to chart.\n";
        }

        StringBuilder text = new();
        foreach (TrendGroup group in groups)
        {
            TrendWords words = new(group, standardOf(group.LastSha256), zone);
            text.Append(text.Length > 0 ? "\n" : "").Append(TableText.Line(words.Heading)).Append('\n');
            text.Append(TableText.Of([["month", .. TrendWords.MonthHeadings], .. group.Months.Select(month => (string[])[TrendWords.MonthName(month), .. TrendWords.MonthCells(month)]), ["all", .. TrendWords.MonthCells(group.Whole)]], width));
            if (group.Series.Count > 0)
            {
                text.Append('\n').Append(TableText.Of([["", .. TrendWords.SeriesHeadings], .. group.Series.Select(series => (string[])[words.Name(series), .. words.SeriesCells(series)])], width));
            }

            text.Append('\n');
            foreach (string said in words.SaidOfAll())
            {
                text.Append(TableText.Lines(said, width, "", "  "));
            }

            foreach (TrendSeries series in plotted ? group.Series.Where(series => series.Points.Count > 0) : [])
            {
                text.Append('\n').Append(TableText.Line(words.Name(series))).Append(Plot(TrendPlot.Of(series, group, words), words));
            }
        }

        return text.ToString();
    }

    private const int PlotColumns = 60;
    private const int PlotRows = 13;

    /// <summary>The newest points against their limits: <c>*</c> a value, <c>X</c> one beyond the limits, <c>~</c> the moving average, <c>-</c> the mean, <c>.</c> the limits.</summary>
    internal static string Plot(TrendPlot plot, TrendWords words)
    {
        int count = Math.Min(plot.Values.Count, PlotColumns);
        int first = plot.Values.Count - count;
        (double low, double high) = plot.Range;
        double range = high - low is > 0 and var wide && double.IsFinite(wide) ? wide : 1;
        int Row(double value) => Math.Clamp((int)Math.Round((high - value) / range * (PlotRows - 1), MidpointRounding.ToEven), 0, PlotRows - 1);
        char[][] cells = [.. Enumerable.Range(0, PlotRows).Select(_ => Enumerable.Repeat(' ', count).ToArray())];
        string[] labels = new string[PlotRows];
        if (plot is { Centre: { } centre, Lower: { } lower, Upper: { } upper })
        {
            foreach ((PlotLine line, char sign) in ((PlotLine, char)[])[(upper, '.'), (lower, '.'), (centre, '-')])
            {
                Array.Fill(cells[Row(line.Nanometres)], sign);
                labels[Row(line.Nanometres)] = line.Words;
            }
        }
        else
        {
            (labels[0], labels[PlotRows - 1]) = (words.Signed(high), words.Signed(low));
        }

        for (int column = 0; column < count; column++)
        {
            double value = plot.Values[first + column];
            if (plot.Averages.Count > 0)
            {
                cells[Row(plot.Averages[first + column])][column] = '~';
            }

            cells[Row(value)][column] = plot.IsBeyond(value) ? 'X' : '*';
        }

        int width = labels.Max(label => label?.Length ?? 0);
        return string.Concat(cells.Select((row, at) => $"{(labels[at] ?? "").PadLeft(width)} |{new string(row)}".TrimEnd() + "\n"));
    }

    /// <summary>The same as JSON, one standard a line.</summary>
    public static string Json(IEnumerable<TrendGroup> groups, Func<string, Standard?> standardOf) => JsonText.Lines(groups, (json, group) =>
    {
        TrendWords words = new(group, standardOf(group.LastSha256), TimeZoneInfo.Utc);
        json.WriteString("standard", group.Standard);
        json.WriteString("edition", group.Edition);
        json.WriteNumber("texts", group.Texts);
        Month(json, group.Whole);
        JsonText.Objects(json, "months", group.Months, month =>
        {
            json.WriteString("month", TrendWords.MonthName(month));
            Month(json, month);
        });
        JsonText.Objects(json, "series", group.Series, series => Series(json, series, words));
    });

    private static void Month(Utf8JsonWriter json, TrendMonth month)
    {
        json.WriteNumber("coats", month.Coats);
        json.WriteNumber("firstTimeRight", month.FirstTime.Right);
        json.WriteNumber("firstTimeOf", month.FirstTime.Of);
        json.WriteNumber("repins", month.Repins);
        JsonText.Number(json, "medianMinutes", month.MedianMinutes);
    }

    private static void Series(Utf8JsonWriter json, TrendSeries series, TrendWords words)
    {
        json.WriteString("of", TrendWords.Of(series.Of));
        json.WriteString("id", series.Id);
        json.WriteString("item", series.Item);
        json.WriteNumber("count", series.Count);
        json.WriteNumber("firstTimeRight", series.FirstTime.Right);
        json.WriteNumber("firstTimeOf", series.FirstTime.Of);
        json.WriteString("noLimits", series.Chart.Why is { } why ? TrendWords.Of(why) : null);
        json.WriteBoolean("provisional", series.Chart.IsProvisional);
        JsonText.Number(json, "meanNm", series.Chart.Limits?.Centre);
        JsonText.Number(json, "lowerNm", series.Chart.Limits?.Lower);
        JsonText.Number(json, "upperNm", series.Chart.Limits?.Upper);
        json.WriteNumber("sigmaNm", series.Chart.Sigma);
        json.WriteNumber("meanRangeNm", series.Chart.MeanMovingRange);
        JsonText.Number(json, "upperRangeNm", series.Chart.RangeLimits?.Upper);
        JsonText.Number(json, "averageLowerNm", series.Ewma?.Limits.Lower);
        JsonText.Number(json, "averageUpperNm", series.Ewma?.Limits.Upper);
        json.WriteBoolean("out", series.IsOut);
        json.WriteBoolean("offNominal", series.Offset is not null);
        JsonText.Strings(json, "said", words.Said(series));
        JsonText.Objects(json, "signals", series.Chart.Signals, signal =>
        {
            json.WriteString("rule", TrendWords.Of(signal.Rule));
            json.WriteString("side", signal.Side switch { > 0 => "high", < 0 => "low", _ => null });
            json.WriteNumber("first", signal.First);
            json.WriteNumber("last", signal.Last);
        });
        json.WriteStartArray("points");
        for (int at = 0; at < series.Points.Count; at++)
        {
            TrendPoint point = series.Points[at];
            json.WriteStartObject();
            json.WriteString("at", FileWords.Instant(point.At));
            json.WriteString("tag", point.Tag);
            json.WriteString("record", point.Record);
            json.WriteNumber("deviationNm", point.DeviationNanometres);
            JsonText.Number(json, "averageNm", series.Ewma?.Averages[at]);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}

/// <summary>The words of a trend in one standard's terms.</summary>
internal sealed class TrendWords(TrendGroup group, Standard? standard, TimeZoneInfo zone)
{
    private readonly LengthDisplay _show = standard?.Show ?? LengthDisplay.Millimetre;

    internal static string[] MonthHeadings { get; } = ["coats", "right first time", "re-pins a coat", "minutes a coat"];

    internal static string[] SeriesHeadings { get; } = ["coats", "off nominal", "scatter", "limits", "newest", "average", "right first time", ""];

    /// <summary>Whose coats these are, how many and since when.</summary>
    internal string Heading => string.Create(CultureInfo.InvariantCulture,
        $"{group.Standard}, {group.Edition}: {Counted.Of(group.Series.Count == 0 ? group.Whole.Coats : group.Series.Max(series => series.Count), "coat")}{(group.Texts > 1 ? $", judged by {group.Texts} different texts of this edition" : "")}");

    internal static string MonthName(TrendMonth month) => string.Create(CultureInfo.InvariantCulture, $"{month.Year:0000}-{month.Month:00}");

    internal static string[] MonthCells(TrendMonth month) =>
    [
        month.Coats.ToString(CultureInfo.InvariantCulture), Rate(month.FirstTime),
        month.Coats == 0 ? "-" : month.RepinsACoat.ToString("0.00", CultureInfo.InvariantCulture),
        month.MedianMinutes?.ToString(CultureInfo.InvariantCulture) ?? "-",
    ];

    internal string[] SeriesCells(TrendSeries series)
    {
        ControlChart chart = series.Chart;
        return
        [
            series.Count > series.Points.Count ? string.Create(CultureInfo.InvariantCulture, $"{series.Points.Count} of {series.Count}") : series.Count.ToString(CultureInfo.InvariantCulture),
            chart.Limits is { } mean ? Signed(mean.Centre) : "-",
            chart.Sigma > 0 ? Unsigned(chart.Sigma) : "-",
            chart.Limits is { } limits ? $"{Signed(limits.Lower)} to {Signed(limits.Upper)}" : "-",
            series.Points.Count > 0 ? Signed(series.Points[^1].DeviationNanometres) : "-",
            series.Ewma is { Averages: [.., var average] } ? Signed(average) : "-",
            Rate(series.FirstTime),
            chart.Why is not null ? "no limits" : series.IsOut ? "out" : "steady",
        ];
    }

    /// <summary>What a series is of: its id first, which <c>--step</c> and <c>--item</c> take, then what it means.</summary>
    internal string Name(TrendSeries series)
    {
        string words = series.Of switch
        {
            TrendOf.Step => StandardWords.Step(standard, series.Id),
            TrendOf.Rule => StandardWords.Relation(standard, series.Id, []),
            TrendOf.Item => StandardWords.Item(standard, series.Id),
        };
        return words == Standard.WordsOf(series.Id) ? $"{Of(series.Of)} {series.Id}" : $"{Of(series.Of)} {series.Id} ({words})";
    }

    /// <summary>What is out of all series, one line each; those with too few coats together in one.</summary>
    internal IEnumerable<string> SaidOfAll()
    {
        int few = group.Series.Count(series => series.Chart.Why == NoLimits.TooFew);
        List<string> said = [.. group.Series.Where(series => few < 2 || series.Chart.Why != NoLimits.TooFew).SelectMany(series => Said(series).Select(what => $"{Name(series)}: {what}"))];
        if (few > 1)
        {
            said.Add(string.Create(CultureInfo.InvariantCulture, $"{few} charts have too few coats for limits: {ControlChart.LeastValues} are needed."));
        }

        return said.Count == 0 ? ["Nothing is out."]
            : !group.Series.Any(series => series.IsOut) ? said
            : [.. said, ByChance()];
    }

    private string ByChance() => string.Create(CultureInfo.InvariantCulture,
        $"Of {group.Series.Count} charts chance alone calls out about {Math.Max(1, Math.Round(group.OutByChance))} at any time: what stays out, or is out in the same way at several places, is worth looking for.");

    /// <summary>What is out of a series, and how far what is usual is off the nominal; empty where there is nothing to say.</summary>
    internal IEnumerable<string> Said(TrendSeries series)
    {
        if (series.Chart.Why is { } why)
        {
            yield return why switch
            {
                NoLimits.NoValue => "no coat",
                NoLimits.TooFew => string.Create(CultureInfo.InvariantCulture, $"{Counted.Of(series.Points.Count, "coat")}: too few for limits, {ControlChart.LeastValues} are needed"),
                NoLimits.AllEqual => "every coat reads the same: a caliper that was not moved or a rule too coarse shows no scatter, so no limits can be drawn",
                NoLimits.TooLarge => "the readings are beyond any coat, so no limits can be drawn",
            };
            yield break;
        }

        foreach (IGrouping<RunRule, RunSignal> rule in series.Now.GroupBy(signal => signal.Rule).OrderBy(rule => rule.Key))
        {
            yield return Said(series, rule.Last());
        }

        if (series.Ewma is { IsOut: true, Averages: [.., var average] } ewma)
        {
            (string more, string less) = Comparatives(series);
            yield return $"lately {(average > ewma.Limits.Centre ? more : less)} than usual on the whole: the moving average is {Signed(average)}, its limits are {Signed(ewma.Limits.Lower)} to {Signed(ewma.Limits.Upper)}";
        }

        if (series.Offset is { } offset)
        {
            (string more, string less) = Comparatives(series);
            yield return $"usually {(offset > 0 ? more : less)} than its nominal, by {Unsigned(Math.Abs(offset))}: more than the scatter explains";
        }

        if (series.Chart.IsProvisional)
        {
            yield return string.Create(CultureInfo.InvariantCulture, $"the limits are provisional: they are from {series.Points.Count} coats, {ControlChart.FirmValues} make them firm");
        }
    }

    private string Said(TrendSeries series, RunSignal signal)
    {
        TrendPoint point = series.Points[signal.Last];
        (string more, string less) = Comparatives(series);
        string side = signal.Side > 0 ? more : less;
        string at = $"{point.Tag} of {LocalTime.Show(point.At, zone)}";
        return signal.Rule switch
        {
            RunRule.BeyondLimits => $"{side} than chance explains on {at}: {Signed(point.DeviationNanometres)}",
            RunRule.TwoOfThree => $"much {side} than usual on 2 of 3 coats up to {at}",
            RunRule.FourOfFive => $"clearly {side} than usual on 4 of 5 coats up to {at}",
            RunRule.EightOnOneSide => $"{side} than usual on 8 coats in a row up to {at}",
            RunRule.SixTrending => $"each of 6 coats {side} than the one before up to {at}: something wears, slips or is getting used to",
            RunRule.FourteenAlternating => $"{more} and {less} in turn on 14 coats up to {at}: two ways of doing it take turns, as two hands or two calipers do",
        };
    }

    /// <summary>What more and less of a value mean at the bench.</summary>
    private (string More, string Less) Comparatives(TrendSeries series) => series.Of switch
    {
        TrendOf.Step when standard?.FindStep(series.Id) is { Grows: null } => ("larger", "smaller"),   // a size
        TrendOf.Rule => ("higher", "lower"),
        _ => ("wider", "narrower"),
    };

    /// <summary>A deviation with its sign, in the standard's unit one place finer than its marks: <c>+0.4 t</c>.</summary>
    internal string Signed(double nanometres) => Shown(nanometres, "+0.0;-0.0;0.0", "+0.0000;-0.0000;0.0000", "+0.00;-0.00;0.00");

    internal string Unsigned(double nanometres) => Shown(nanometres, "0.0", "0.0000", "0.00");

    private string Shown(double nanometres, string ticks, string inches, string millimetres) => _show switch
    {
        LengthDisplay.Ticks or LengthDisplay.Fraction => (nanometres / Length.Tick.Nanometres).ToString(ticks, CultureInfo.InvariantCulture) + " t",
        LengthDisplay.Inch => (nanometres / Length.Inch.Nanometres).ToString(inches, CultureInfo.InvariantCulture) + " in",
        LengthDisplay.Millimetre => (nanometres / Length.Millimetre.Nanometres).ToString(millimetres, CultureInfo.InvariantCulture) + " mm",
    };

    internal static string Of(TrendOf of) => of switch
    {
        TrendOf.Step => "step",
        TrendOf.Rule => "rule",
        TrendOf.Item => "item",
    };

    internal static string Of(NoLimits why) => why switch
    {
        NoLimits.NoValue => "no-value",
        NoLimits.TooFew => "too-few",
        NoLimits.AllEqual => "all-equal",
        NoLimits.TooLarge => "too-large",
    };

    internal static string Of(RunRule rule) => rule switch
    {
        RunRule.BeyondLimits => "beyond-limits",
        RunRule.TwoOfThree => "two-of-three",
        RunRule.FourOfFive => "four-of-five",
        RunRule.EightOnOneSide => "eight-on-one-side",
        RunRule.SixTrending => "six-trending",
        RunRule.FourteenAlternating => "fourteen-alternating",
    };

    private static string Rate(FirstTimeRate rate) => rate.Share is { } share ? string.Create(CultureInfo.InvariantCulture, $"{share * 100:0} % ({rate.Right} of {rate.Of})") : "-";
}
