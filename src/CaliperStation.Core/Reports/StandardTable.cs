using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>standard show</c>: the order of work, what is judged at each step, and the limits in all four displays.</summary>
public static partial class StandardTable
{
    private static readonly LengthDisplay[] Displays = [LengthDisplay.Ticks, LengthDisplay.Fraction, LengthDisplay.Inch, LengthDisplay.Millimetre];

    /// <summary>The rules whose last reading is taken at a step, in the order of the file.</summary>
    /// <remarks>A rule that holds for each of its readings is judged at each of them.</remarks>
    public static IReadOnlyList<Relation> JudgedAt(Plan plan, Step step)
    {
        int here = plan.PositionOf(step.Id);
        bool IsLast(IEnumerable<string> needs) => needs.Max(plan.PositionOf) == here;
        return [.. plan.Relations.Where(relation => relation.HoldsForEach
            ? relation.Of.Any(each => IsLast(relation.AddSteps.Append(each)))
            : IsLast(relation.Needs))];
    }

    /// <summary>Whose left and right the words mean.</summary>
    public static string SidesWords(Standard standard) => standard.Sides switch
    {
        Sides.Viewer => "left and right as you face the blouse",
        Sides.AsWorn => "left and right as the wearer has it on",
    };

    /// <summary>A table for a terminal; ends with a line feed.</summary>
    public static string Text(Plan plan)
    {
        StringBuilder text = new();
        Standard standard = plan.Standard;
        text.Append(CultureInfo.InvariantCulture, $"{Safe(standard.Name)} ({Safe(standard.Edition)}); {SidesWords(standard)}\n");
        foreach (Question question in standard.Questions)
        {
            text.Append(CultureInfo.InvariantCulture, $"{Safe(question.Ask)} {Safe(plan.Answers[question.Id])}\n");
        }

        int number = 0;
        text.Append(plan.Ready.Count > 0 ? "\nBefore any reading\n" : string.Empty);
        foreach (ReadyLine line in plan.Ready)
        {
            AppendPrompt(text, ++number, line.Ask, line.Hint, line.Caution, string.Empty);
        }

        List<string[]> cells = [.. plan.Steps.SelectMany(step => JudgedAt(plan, step)).Select(Cells)];
        int[] widths = [.. Enumerable.Range(0, Displays.Length + 1).Select(column => cells.Select(row => row[column].Length).DefaultIfEmpty(0).Max())];
        string? thing = null;
        foreach (Step step in plan.Steps)
        {
            text.Append(step.Of == thing ? string.Empty : $"\n{Capital(standard.NameOf(step.Of))}\n");
            thing = step.Of;
            AppendPrompt(text, ++number, step.Ask, step.Hint, step.Caution, ConditionWords.Of(standard, step.When));
            foreach (Relation relation in JudgedAt(plan, step))
            {
                string row = string.Join("  ", Cells(relation).Select((cell, column) => cell.PadRight(widths[column]))).TrimEnd();
                text.Append(CultureInfo.InvariantCulture, $"       {row}{(relation.When is null ? string.Empty : $"  when {Safe(ConditionWords.Of(standard, relation.When))}")}\n");
            }
        }

        return text.ToString();
    }

    /// <summary>A Markdown table under a heading; ends with a line feed.</summary>
    public static string Markdown(Plan plan)
    {
        StringBuilder text = new();
        Standard standard = plan.Standard;
        text.Append(CultureInfo.InvariantCulture, $"# {Mark(standard.Name)}\n\nEdition {Mark(standard.Edition)}; {SidesWords(standard)}.\n\n");
        foreach (Question question in standard.Questions)
        {
            text.Append(CultureInfo.InvariantCulture, $"- {Mark(question.Ask)} {Mark(plan.Answers[question.Id])}\n");
        }

        text.Append(standard.Questions.Count > 0 ? "\n" : string.Empty);
        text.Append("| No. | What to do | Judged here | Ticks | Fraction | Decimal inch | Millimetre |\n|---:|---|---|---|---|---|---|\n");
        int number = 0;
        foreach (ReadyLine line in plan.Ready)
        {
            text.Append(CultureInfo.InvariantCulture, $"| {++number} | {Prompt(line.Ask, line.Hint, line.Caution, string.Empty)} | | | | | |\n");
        }

        foreach (Step step in plan.Steps)
        {
            IReadOnlyList<Relation> judged = JudgedAt(plan, step);
            IEnumerable<string> columns = Enumerable.Range(0, Displays.Length + 1).Select(column => string.Join("<br>", judged.Select(relation => MarkedCell(standard, relation, column))));
            text.Append(CultureInfo.InvariantCulture, $"| {++number} | {Prompt(step.Ask, step.Hint, step.Caution, ConditionWords.Of(standard, step.When))} | {string.Join(" | ", columns)} |\n");
        }

        return text.ToString();
    }

    private static void AppendPrompt(StringBuilder text, int number, string ask, string? hint, string? caution, string when)
    {
        text.Append(CultureInfo.InvariantCulture, $"{number,4}  {Safe(ask)}{(when.Length == 0 ? string.Empty : $"  (when {Safe(when)})")}\n");
        text.Append(hint is null ? string.Empty : $"      {Safe(hint)}\n");
        text.Append(caution is null ? string.Empty : $"      CAUTION: {Safe(caution)}\n");
    }

    // First the rule's id and kind, then a cell for each display; a value that is no length is the same in all.
    private static string[] Cells(Relation relation) =>
        [$"{Safe(relation.Id)} ({relation.Kind.Word})", .. Displays.Select((display, column) => relation.Kind.Dimension == Dimension.Length || column == 0 ? LimitsShown.In(relation, display) : string.Empty)];

    private static string MarkedCell(Standard standard, Relation relation, int column) =>
        Mark(Cells(relation)[column] + (column == 0 && relation.When is not null ? $", when {ConditionWords.Of(standard, relation.When)}" : string.Empty));

    private static string Prompt(string ask, string? hint, string? caution, string when) => string.Join("<br>", new[]
    {
        Mark(when.Length == 0 ? ask : $"{ask} (when {when})"),
        hint is null ? null : $"*{Mark(hint)}*",
        caution is null ? null : $"**Caution: {Mark(caution)}**",
    }.OfType<string>());

    private static string Capital(string text) => Safe(char.ToUpperInvariant(text[0]) + text[1..]);

    private static string Safe(string text) => PrintableText.Escape(text);

    // Everything that means something to Markdown, or to the HTML it lets through, is escaped.
    private static string Mark(string text) => string.Concat(Safe(text).Select(c => c switch
    {
        '<' => "&lt;",
        '>' => "&gt;",
        '&' => "&amp;",
        '|' or '\\' or '`' or '*' or '_' or '[' or ']' or '#' or '~' => $"\\{c}",
        _ => c.ToString(),
    }));
}
