using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>What a standard's ids are called, the same at the bench, in records and on paper; the words of the id where the standard is not at hand.</summary>
public static class StandardWords
{
    /// <summary>The short name of a step.</summary>
    public static string Step(Standard? standard, string step) => standard?.StepName(step) ?? Standard.WordsOf(step);

    /// <summary>What a readiness line or a look asks.</summary>
    public static string Line(Standard? standard, string line) => standard?.FindLook(line)?.Ask ?? Standard.WordsOf(line);

    /// <summary>An item or a landmark.</summary>
    public static string Item(Standard? standard, string item) => standard?.NameOf(item) ?? item;

    /// <summary>A rule, with the reading where it is judged at each of several: <c>rack height at rack left</c>, <c>rack level</c>. A look may be set aside like one.</summary>
    /// <param name="standard">The standard, or null.</param>
    /// <param name="relation">The rule's id.</param>
    /// <param name="steps">The steps it was judged at; none: the rule as such.</param>
    public static string Relation(Standard? standard, string relation, IReadOnlyList<string> steps)
    {
        bool isAtOne = standard is null ? steps.Count == 1 : standard.FindRelation(relation) is { JudgesEach: true, Of.Count: > 1 };
        return Line(standard, relation) + (isAtOne && steps.Count > 0 ? $" at {Step(standard, steps[0])}" : "");
    }

    /// <summary>What was set aside and why.</summary>
    public static string Aside(Standard? standard, RecordAside aside) =>
        $"{Relation(standard, aside.Relation, aside.Step is { } step ? [step] : [])}: {aside.Reason}";

    /// <summary>What was answered to a question: <c>Does this coat carry the star? yes</c>.</summary>
    public static string Answer(Standard? standard, string question, string answer) =>
        standard?.Questions.FirstOrDefault(asked => asked.Id == question) is { } asked ? $"{asked.Ask} {answer}" : $"{question}: {answer}";

    /// <summary>What lengths of a record are shown in: as its standard wants, else in the unit it was read in.</summary>
    public static LengthDisplay Display(Standard? standard, Record record) => standard?.Show
        ?? (record.Readings.SelectMany(reading => reading.Takes).All(take => take.Unit == LengthUnit.Millimetre) ? LengthDisplay.Millimetre : LengthDisplay.Inch);
}
