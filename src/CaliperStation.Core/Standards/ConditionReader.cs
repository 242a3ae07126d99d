using System.Globalization;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Reads <c>when</c>: on answers, on another relation's value, on an item's number of rows.</summary>
internal sealed class ConditionReader(StandardNames names, MeasureReader measures, FaultList faults)
{
    /// <summary>The condition; null when there is none or it is at fault. A value is known only when it is measured, so a readiness line or an item cannot wait for one.</summary>
    internal Condition? Read(TableReader table, bool mayAskValues)
    {
        if (table.Table("when", "{ question = \"answer\" }") is not { } when)
        {
            return null;
        }

        if (when.Entries.Count == 0)
        {
            faults.Add(when.Place, $"when of {table.Label} is empty", "{ question = \"answer\" }, or no when at all");
            return null;
        }

        List<ConditionPart?> parts = [.. Flat(when, string.Empty).Select(entry => Part(table, entry, mayAskValues))];
        return parts.Contains(null) ? null : new Condition([.. parts.OfType<ConditionPart>()]);
    }

    // rack.rows without quotes is a table in a table: the same thing to TOML's reader, another thing to its grammar.
    private static IEnumerable<TomlEntry> Flat(TomlTable table, string prefix) => table.Entries.SelectMany(entry =>
        entry.Node is TomlTable inner ? Flat(inner, $"{prefix}{entry.Name}.") : [entry with { Name = prefix + entry.Name }]);

    private ConditionPart? Part(TableReader table, TomlEntry entry, bool mayAskValues)
    {
        if (names.Questions.TryGetValue(entry.Name, out TomlTable? question))
        {
            names.Ask(entry.Name);
            return Answer(entry, question);
        }

        if (names.Relations.TryGetValue(entry.Name, out TomlTable? relation))
        {
            if (!mayAskValues)
            {
                faults.Add(entry.Place, $"{table.Label} waits for a value that is measured later", "a condition on an answer, or on an item's rows");
                return null;
            }

            return Value(entry, relation);
        }

        if (entry.Name.EndsWith(".worn", StringComparison.Ordinal))
        {
            return Worn(table, entry, entry.Name[..^5], mayAskValues);
        }

        if (entry.Name.EndsWith(".rows", StringComparison.Ordinal))
        {
            return Rows(entry, entry.Name[..^5]);
        }

        names.Unknown(entry.Place, "question, relation or row count", entry.Name, [.. names.Questions.Keys, .. names.Relations.Keys, .. names.Items.Keys.Select(id => id + ".rows")]);
        return null;
    }

    private ConditionPart.AnswerIs? Answer(TomlEntry entry, TomlTable question)
    {
        TableReader one = new(Single(entry), AnswerFormat(entry.Name), faults, "when");
        IReadOnlyList<TomlText>? texts = one.Texts(entry.Name, StandardReader.MostAnswers, StandardNames.MaxNameLength);
        if (texts is null)
        {
            return null;
        }

        List<string> answers = question.Find("answers")?.Node is TomlList list ? [.. list.Items.OfType<TomlText>().Select(text => text.Value)] : [];
        foreach (TomlText text in texts.Where(text => answers.Count > 0 && !answers.Contains(text.Value)))
        {
            names.Unknown(text.Place, $"answer to {FaultList.Quote(entry.Name)} that says", text.Value, answers);
        }

        return new ConditionPart.AnswerIs(entry.Name, [.. texts.Select(text => text.Value)]);
    }

    private ConditionPart.ValueIs? Value(TomlEntry entry, TomlTable relation)
    {
        if (Compared(entry, "\">= 1/3\"") is not { } compared)
        {
            return null;
        }

        RelationKind? kind = relation.Find("kind")?.Node is TomlText text ? RelationKind.Find(text.Value) : null;
        if (kind?.JudgesEach == true && relation.Find("of")?.Node is TomlList { Items.Count: > 1 })
        {
            faults.Add(entry.Place, $"relation {FaultList.Quote(entry.Name)} has a value for each of its readings, not one", "a relation over one reading, or of another kind");
            return null;
        }

        TomlText part = compared.Against;
        switch (kind?.Dimension)
        {
            case null:
                return null;
            case Dimension.Ratio:
                return measures.Ratio(part, entry.Name) is { } ratio ? new(entry.Name, compared.Comparison, ratio, null) : null;
            case Dimension.Angle:
                return measures.Angle(part, entry.Name) is { } angle ? new(entry.Name, compared.Comparison, angle, null) : null;
            default:
                return measures.Length(part, entry.Name) is { } length ? new(entry.Name, compared.Comparison, length.Nanometres, length) : null;
        }
    }

    // Whether an item is worn is settled before readings, by answers and rows alone: so items do not wait for one another.
    private ConditionPart.WornIs? Worn(TableReader table, TomlEntry entry, string item, bool mayAsk)
    {
        if (!names.Items.ContainsKey(item))
        {
            names.Unknown(entry.Place, "item", item, names.Items.Keys);
            return null;
        }

        if (!mayAsk)
        {
            faults.Add(entry.Place, $"{table.Label} waits for whether an item is worn", "the answer that decides it, or rows");
            return null;
        }

        if (entry.Node is TomlText { Value: "yes" or "no" } text)
        {
            return new(item, text.Value == "yes");
        }

        faults.Add(entry.Node.Place, $"{FaultList.Quote(entry.Name)} is neither yes nor no", "\"yes\" or \"no\"");
        return null;
    }

    private ConditionPart.RowsAre? Rows(TomlEntry entry, string item)
    {
        if (!names.Items.TryGetValue(item, out TomlTable? table))
        {
            names.Unknown(entry.Place, "item", item, names.Items.Keys);
            return null;
        }

        if (table.Find("rows") is null)
        {
            faults.Add(entry.Place, $"item {FaultList.Quote(item)} is not made of rows", "rows = { count = …, per-row = …, part = … } in the item, or another condition");
            return null;
        }

        if (entry.Node is TomlNumber { Whole: { } equal } && equal is >= 0 and <= 1000)
        {
            return new(item, Comparison.Equal, (int)equal);
        }

        if (Compared(entry, "\">= 3\"") is not { } compared)
        {
            return null;
        }

        if (int.TryParse(compared.Against.Value, NumberStyles.AllowLeadingWhite | NumberStyles.AllowTrailingWhite, CultureInfo.InvariantCulture, out int rows) && rows <= 1000)
        {
            return new(item, compared.Comparison, rows);
        }

        faults.Add(compared.Against.Place, $"{FaultList.Quote(entry.Name)} is compared with no count of rows", "\">= 3\"");
        return null;
    }

    private (Comparison Comparison, TomlText Against)? Compared(TomlEntry entry, string example)
    {
        (Comparison, TomlText)? compared = ComparisonText.Split(entry.Node);
        if (compared is null)
        {
            faults.Add(entry.Node.Place, $"{FaultList.Quote(entry.Name)} is not compared with anything", $"{example}; the signs are >= <= > < =");
        }

        return compared;
    }

    private static TomlTable Single(TomlEntry entry)
    {
        TomlTable table = new(entry.Place);
        table.Add(entry);
        return table;
    }

    private static TableFormat AnswerFormat(string question) => new("when", false, 1, [new KeyFormat(question, true, "\"yes\"")]);
}
