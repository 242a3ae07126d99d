using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Reports;

/// <summary>The answer of <c>standard show</c>: the order of work, what is judged at each step, and the limits in all four displays.</summary>
public static class StandardTable
{
    private static readonly LengthDisplay[] Displays = [LengthDisplay.Ticks, LengthDisplay.Fraction, LengthDisplay.Inch, LengthDisplay.Millimetre];

    /// <summary>The rules whose last reading is taken at a step, in the order of the file.</summary>
    /// <remarks>A rule that holds for each of its readings is judged at each of them.</remarks>
    public static IReadOnlyList<Relation> JudgedAt(Plan plan, Step step)
    {
        int here = plan.PositionOf(step.Id);
        bool IsLast(IEnumerable<string> needs) => needs.Max(plan.PositionOf) == here;
        return [.. plan.Relations.Where(relation => relation.JudgesEach
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
    public static string Text(Plan plan, int width = TableText.Unbounded)
    {
        StringBuilder text = new();
        Standard standard = plan.Standard;
        text.Append(TableText.Lines($"{standard.Name} ({standard.Edition}); {SidesWords(standard)}", width, "", "  "));
        foreach (Question question in standard.Questions)
        {
            text.Append(TableText.Lines($"{question.Ask} {plan.Answers[question.Id]}", width, "", "  "));
        }

        int number = 0;
        text.Append(plan.Ready.Count > 0 ? "\nBefore any reading\n" : string.Empty);
        foreach (Look line in plan.Ready)
        {
            AppendPrompt(text, width, ++number, line.Ask, line.Hint, line.Caution, string.Empty);
        }

        string[] Judged(Relation relation) => [.. Cells(relation), relation.When is null ? "" : $"when {ConditionWords.Of(standard, relation.When)}"];
        TableText table = new([.. plan.Steps.SelectMany(step => JudgedAt(plan, step)).Select(Judged)], width, new string(' ', 7));
        string? thing = null;
        foreach ((Step? step, Look? look) in plan.StepsAndLooks)
        {
            if (look is not null)
            {
                AppendPrompt(text, width, ++number, $"Look: {look.Ask}{Takes(look)}", look.Hint, look.Caution, string.Empty);
                continue;
            }

            if (step is null)
            {
                continue;
            }

            text.Append(step.Of == thing ? string.Empty : "\n" + TableText.Line(ShortForm.Capital(standard.NameOf(step.Of))));
            thing = step.Of;
            AppendPrompt(text, width, ++number, step.Ask, step.Hint, step.Caution, ConditionWords.Of(standard, step.When));
            foreach (Relation relation in JudgedAt(plan, step))
            {
                text.Append(table.Row(Judged(relation)));
            }
        }

        text.Append(plan.TouchUp.Count > 0 ? "\nAfter a touch-up\n" : string.Empty);
        foreach (Look look in plan.TouchUp)
        {
            AppendPrompt(text, width, ++number, $"Look: {look.Ask}{Takes(look)}", look.Hint, look.Caution, string.Empty);
        }

        return text.ToString();
    }

    /// <summary>How long a look takes, in brackets; empty where it takes no time.</summary>
    internal static string Takes(Look look) => look.Wait is { } wait ? $" (takes {Sitting.Left(wait)})" : string.Empty;

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
        foreach (Look line in plan.Ready)
        {
            text.Append(CultureInfo.InvariantCulture, $"| {++number} | {Prompt(line.Ask, line.Hint, line.Caution, string.Empty)} | | | | | |\n");
        }

        foreach ((Step? step, Look? look) in plan.StepsAndLooks.Concat(plan.TouchUp.Select(look => ((Step?)null, (Look?)look))))
        {
            if (step is null)
            {
                text.Append(CultureInfo.InvariantCulture, $"| {++number} | {Prompt($"{(look!.Place == LookPlace.TouchUp ? "After a touch-up" : "Look")}: {look.Ask}{Takes(look)}", look.Hint, look.Caution, string.Empty)} | | | | | |\n");
                continue;
            }

            IReadOnlyList<Relation> judged = JudgedAt(plan, step);
            IEnumerable<string> columns = Enumerable.Range(0, Displays.Length + 1).Select(column => string.Join("<br>", judged.Select(relation => MarkedCell(standard, relation, column))));
            text.Append(CultureInfo.InvariantCulture, $"| {++number} | {Prompt(step.Ask, step.Hint, step.Caution, ConditionWords.Of(standard, step.When))} | {string.Join(" | ", columns)} |\n");
        }

        return text.ToString();
    }

    private static void AppendPrompt(StringBuilder text, int width, int number, string ask, string? hint, string? caution, string when)
    {
        string next = new(' ', 6);
        text.Append(TableText.Lines($"{ask}{(when.Length == 0 ? string.Empty : $"  (when {when})")}", width, string.Create(CultureInfo.InvariantCulture, $"{number,4}  "), next));
        text.Append(hint is null ? string.Empty : TableText.Lines(hint, width, next, next));
        text.Append(caution is null ? string.Empty : TableText.Lines($"CAUTION: {caution}", width, next, next));
    }

    // First the rule's id and kind, then a cell for each display; a value that is no length is the same in all.
    private static string[] Cells(Relation relation) =>
        [$"{relation.Id} ({relation.Kind.Word})", .. Displays.Select((display, column) => relation.Kind.Dimension == Dimension.Length || column == 0 ? LimitsShown.In(relation, display) : string.Empty)];

    private static string MarkedCell(Standard standard, Relation relation, int column) =>
        Mark(Cells(relation)[column] + (column == 0 && relation.When is not null ? $", when {ConditionWords.Of(standard, relation.When)}" : string.Empty));

    private static string Prompt(string ask, string? hint, string? caution, string when) => string.Join("<br>", new[]
    {
        Mark(when.Length == 0 ? ask : $"{ask} (when {when})"),
        hint is null ? null : $"*{Mark(hint)}*",
        caution is null ? null : $"**Caution: {Mark(caution)}**",
    }.OfType<string>());

    // Everything that means something to Markdown, or to the HTML it lets through, is escaped.
    private static string Mark(string text) => string.Concat(PrintableText.Escape(text).Select(c => c switch
    {
        '<' => "&lt;",
        '>' => "&gt;",
        '&' => "&amp;",
        '|' or '\\' or '`' or '*' or '_' or '[' or ']' or '#' or '~' => $"\\{c}",
        _ => c.ToString(),
    }));

    /// <summary>
    /// An object: <c>name</c>, <c>edition</c>, <c>sha256</c>, <c>sides</c>, <c>answers</c>, <c>ready</c>, <c>looks</c>, and <c>steps</c> in the order of work, each with the
    /// rules judged there. Lengths are whole nanometres (<c>lowerNm</c>), angles <c>lowerMilliradians</c>, shares <c>lowerRatio</c>;
    /// <c>lowerExcluded</c> and <c>upperExcluded</c> are there, and true, where the limit itself is not allowed.
    /// </summary>
    public static string Json(Plan plan) => JsonText.Object(json =>
    {
        Standard standard = plan.Standard;
        json.WriteString("name", standard.Name);
        json.WriteString("edition", standard.Edition);
        json.WriteString("sha256", standard.Sha256);
        json.WriteString("sides", standard.Sides == Sides.AsWorn ? "as-worn" : "viewer");
        json.WriteStartObject("answers");
        foreach ((string question, string answer) in plan.Answers)
        {
            json.WriteString(question, answer);
        }

        json.WriteEndObject();
        JsonText.Objects(json, "ready", plan.Ready, line =>
        {
            json.WriteString("id", line.Id);
            WritePrompt(json, line.Ask, line.Hint, line.Caution);
        });
        JsonText.Objects(json, "looks", plan.Looks.Concat(plan.TouchUp), look =>
        {
            json.WriteString("id", look.Id);
            json.WriteString(look.Place.When == LookWhen.Before ? "before" : "after", look.Place.When == LookWhen.TouchUp ? "touch-up" : look.Place.Of ?? "all");
            WritePrompt(json, look.Ask, look.Hint, look.Caution);
            if (look.Wait is { } wait)
            {
                json.WriteNumber("waitSeconds", (long)wait.TotalSeconds);
            }

        });
        JsonText.Objects(json, "steps", plan.Steps, step => WriteStep(json, plan, step));
    }) + "\n";

    private static void WriteStep(Utf8JsonWriter json, Plan plan, Step step)
    {
        json.WriteString("id", step.Id);
        json.WriteString("of", step.Of);
        json.WriteString("from", step.From);
        WritePrompt(json, step.Ask, step.Hint, step.Caution);
        WriteText(json, "when", step.When is null ? null : ConditionWords.Of(plan.Standard, step.When));
        JsonText.Objects(json, "judged", JudgedAt(plan, step), relation =>
        {
            json.WriteString("relation", relation.Id);
            json.WriteString("kind", relation.Kind.Word);
            WriteText(json, "when", relation.When is null ? null : ConditionWords.Of(plan.Standard, relation.When));
            WriteText(json, "source", relation.Source);
            JsonText.Objects(json, "limits", relation.Limits, limits => WriteLimits(json, relation.Kind, limits));
        });
    }

    private static void WriteLimits(Utf8JsonWriter json, RelationKind kind, Limits limits)
    {
        if (kind.Dimension == Dimension.Length)
        {
            WriteLength(json, "lower", limits.Lower);
            WriteLength(json, "nominal", limits.Nominal);
            WriteLength(json, "upper", limits.Upper);
        }
        else
        {
            string unit = kind.Dimension == Dimension.Angle ? "Milliradians" : "Ratio";
            WriteNumber(json, $"lower{unit}", limits.LowerNumber);
            WriteNumber(json, $"nominal{unit}", limits.NominalNumber);
            WriteNumber(json, $"upper{unit}", limits.UpperNumber);
        }

        WriteTrue(json, "lowerExcluded", limits.LowerExcluded);
        WriteTrue(json, "upperExcluded", limits.UpperExcluded);
    }

    private static void WriteLength(Utf8JsonWriter json, string name, Length? length)
    {
        if (length is not { } value)
        {
            return;
        }

        json.WriteNumber($"{name}Nm", value.Nanometres);
        json.WriteStartObject(name);
        json.WriteString("ticks", LengthFormat.Show(value, LengthDisplay.Ticks));
        json.WriteString("fraction", LengthFormat.Show(value, LengthDisplay.Fraction));
        json.WriteString("inch", LengthFormat.Show(value, LengthDisplay.Inch));
        json.WriteString("millimetre", LengthFormat.Show(value, LengthDisplay.Millimetre));
        json.WriteEndObject();
    }

    private static void WriteNumber(Utf8JsonWriter json, string name, double? number)
    {
        if (number is { } value)
        {
            json.WriteNumber(name, value);
        }
    }

    private static void WriteTrue(Utf8JsonWriter json, string name, bool value)
    {
        if (value)
        {
            json.WriteBoolean(name, value);
        }
    }

    private static void WritePrompt(Utf8JsonWriter json, string ask, string? hint, string? caution)
    {
        json.WriteString("ask", ask);
        WriteText(json, "hint", hint);
        WriteText(json, "caution", caution);
    }

    private static void WriteText(Utf8JsonWriter json, string name, string? text)
    {
        if (text is not null)
        {
            json.WriteString(name, text);
        }
    }
}
