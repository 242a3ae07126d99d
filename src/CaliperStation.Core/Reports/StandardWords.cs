using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>What a record's ids mean in its standard's words; the ids themselves where the standard is not at hand. Safe to print.</summary>
public static class StandardWords
{
    /// <summary>What to do at a step.</summary>
    public static string Step(Standard? standard, string step) => Safe(standard?.FindStep(step)?.Ask ?? step);

    /// <summary>What a readiness line or a look asks.</summary>
    public static string Line(Standard? standard, string line) => Safe(standard?.FindLook(line)?.Ask ?? line);

    /// <summary>An item or a landmark.</summary>
    public static string Item(Standard? standard, string item) => Safe(standard?.NameOf(item) ?? item);

    /// <summary>A rule by its kind and by what it is read at: <c>gap at: Top of the pocket to the bottom of the bar</c>, <c>level of the bar</c>.</summary>
    /// <param name="standard">The standard, or null.</param>
    /// <param name="relation">The rule's id.</param>
    /// <param name="steps">The steps it was judged at; none: all that it reads.</param>
    public static string Relation(Standard? standard, string relation, IReadOnlyList<string> steps)
    {
        if (standard?.FindRelation(relation) is not { } rule)
        {
            return Line(standard, relation);   // a look may be set aside too
        }

        string kind = rule.Kind.Word.Replace('-', ' ');
        IReadOnlyList<string> at = steps.Count > 0 ? steps : rule.Of;
        return at.Count == 1
            ? $"{kind} at: {Step(standard, at[0])}"
            : $"{kind} of {string.Join(" and ", at.Select(step => standard.FindStep(step)?.Of ?? step).Distinct().Select(item => Item(standard, item)))}";
    }

    /// <summary>What was set aside and why.</summary>
    public static string Aside(Standard? standard, RecordAside aside)
    {
        string where = standard is null && aside.Step is { } step ? $" at {Safe(step)}" : "";
        return $"{Relation(standard, aside.Relation, aside.Step is { } one ? [one] : [])}{where}: {Safe(aside.Reason)}";
    }

    /// <summary>What was answered to a question: <c>Does this coat carry the star? yes</c>.</summary>
    public static string Answer(Standard? standard, string question, string answer) =>
        Safe(standard?.Questions.FirstOrDefault(asked => asked.Id == question) is { } asked ? $"{asked.Ask} {answer}" : $"{question}: {answer}");

    /// <summary>What lengths of a record are shown in: as its standard wants, else in the unit it was read in.</summary>
    public static LengthDisplay Display(Standard? standard, Record record) => standard?.Show
        ?? (record.Readings.SelectMany(reading => reading.Takes).All(take => take.Unit == LengthUnit.Millimetre) ? LengthDisplay.Millimetre : LengthDisplay.Inch);

    private static string Safe(string text) => PrintableText.Escape(text);
}
