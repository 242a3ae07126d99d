using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>A remeasurement in words.</summary>
public static class RemeasurementText
{
    /// <summary>The word for a step or a whole remeasurement, the same in words, JSON and CSV: <c>agrees</c> or <c>differs</c>.</summary>
    public static string Word(bool agrees) => agrees ? "agrees" : "differs";

    /// <summary>The word for a blouse's last one.</summary>
    /// <param name="result">What it says.</param>
    /// <param name="none">What stands for none.</param>
    internal static string Word(RemeasurementResult result, string none = "none") => result switch
    {
        RemeasurementResult.None => none,
        RemeasurementResult.Agrees => Word(true),
        RemeasurementResult.Differs => Word(false),
    };

    /// <summary>Both values, the difference in ticks, why the step was chosen: <c>rack-left: 4 t (3.18 mm), now 4½ t (3.57 mm), +0.4 t, En 0.74 (carries others)</c>.</summary>
    /// <param name="comparison">The step.</param>
    /// <param name="show">What lengths are shown in.</param>
    /// <param name="standard">The standard, for the step's words; null leaves its id.</param>
    public static string Detail(RecordComparison comparison, LengthDisplay show, Standard? standard = null) => string.Create(CultureInfo.InvariantCulture,
        $"{StandardWords.Step(standard, comparison.Step)}: {RecordText.Shown(comparison.FirstNanometres, show)}, now {RecordText.Shown(comparison.SecondNanometres, show)}, {Ticks(comparison):+0.0;-0.0;0.0} t, En {comparison.En:0.00} ({Reason(comparison.Why)})");

    /// <summary>What differs, each with both values, to be read last: <c>: 1 of 12 readings: rack left, first 4 t (3.18 mm), now 7 t (5.60 mm)</c>; empty where all agree.</summary>
    public static string Differing(Record record, LengthDisplay show, Standard? standard)
    {
        RecordComparison[] differ = [.. record.Comparisons.Where(comparison => !comparison.Agrees)];
        return differ.Length == 0 ? "" : string.Create(CultureInfo.InvariantCulture,
            $": {differ.Length} of {Counted.Of(record.Comparisons.Count, "reading")}: {string.Join("; ", differ.Select(comparison => $"{StandardWords.Step(standard, comparison.Step)}, first {RecordText.Shown(comparison.FirstNanometres, show)}, now {RecordText.Shown(comparison.SecondNanometres, show)}"))}");
    }

    /// <summary>What a move invalidates.</summary>
    public static string Detail(Invalidated invalidated, Standard standard) =>
        $"{(invalidated.Steps.Count == 0 ? "no other reading" : "readings " + string.Join(", ", invalidated.Steps.Select(step => StandardWords.Step(standard, step))))}; verdicts {string.Join(", ", invalidated.Relations.Select(relation => StandardWords.Relation(standard, relation, [])).DefaultIfEmpty("none"))}; measure this blouse again: caliper-station measure STANDARD --tag {invalidated.Tag}";

    /// <summary>Why a step was chosen, in words.</summary>
    internal static string Reason(string why) => why switch
    {
        "carries" => "carries others",
        "close" => "was close to a limit",
        "moved" => "moved before",
        "item" => "of every item one",
        "random" => "by lot",
        _ => why,
    };

    private static double Ticks(RecordComparison comparison) => (comparison.SecondNanometres - comparison.FirstNanometres) / Length.Tick.Nanometres;
}
