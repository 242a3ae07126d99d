using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <content>How verdicts are given, questions, readiness lines, landmarks.</content>
internal sealed partial class StandardReader
{
    // DIN 862 as quoted by published copies: 20 µm at digital step 0.01 mm for short lengths (https://www.scribd.com/document/564783692/DIN862863);
    // JIS B 7507, 0-150 mm, the same by sellers' data sheets.
    private static readonly Length DefaultCaliper = Length.FromMicrometres(20);

    // A hand on cloth: common practice, no source; a study on the bench replaces it.
    private static readonly Length DefaultHand = Length.FromMicrometres(100);

    private const double DefaultConfidence = 0.95;

    // The digital step of common calipers.
    private static readonly Length Finest = Length.FromMicrometres(10);

    private (JudgingSettings Settings, Length? Within) ReadJudging()
    {
        TomlTable table = _top.Table("judging", "[judging]") ?? TomlTable.Empty;
        TableReader judging = new(table, StandardFormat.Judging, _faults, "[judging]");
        DecisionRule rule = judging.Word<DecisionRule>("rule", [("plain", DecisionRule.Plain), ("guarded", DecisionRule.Guarded)]) ?? DecisionRule.Guarded;
        Length? within = LengthLimits(null).Tolerance(judging, "within");
        Length hand = judging.Find("hand") is { } cloth ? _measures.Positive(cloth.Node, "hand") ?? DefaultHand : DefaultHand;
        Length caliper = judging.Find("caliper") is { } tool ? _measures.Positive(tool.Node, "caliper") ?? DefaultCaliper : DefaultCaliper;
        double confidence = DefaultConfidence;
        if (judging.Find("confidence")?.Node is { } node)
        {
            if (node is TomlNumber { Value: >= 0.5 and <= 0.9999 } number)
            {
                confidence = number.Value;
            }
            else
            {
                _faults.Add(node.Place, $"confidence is {(node is TomlNumber bad ? FaultList.Shown(bad.Raw, 30) : node.Words)}", "a number from 0.5 to 0.9999, such as 0.95");
            }
        }

        return (new JudgingSettings(rule, confidence, within ?? Length.Zero, hand, caliper), within);
    }

    private LimitsReader<Length> LengthLimits(Length? defaultWithin) =>
        new((node, key) => _measures.Length(node, key), _faults, defaultWithin, Finest, "0.01 mm");

    private List<Question> ReadQuestions()
    {
        List<Question> questions = [];
        foreach (TableReader table in Tables(StandardFormat.Question))
        {
            string? ask = table.Text("ask", MaxAskLength);
            IReadOnlyList<TomlText>? answers = table.Texts("answers", 20, StandardNames.MaxNameLength);
            if (answers is { Count: 1 })
            {
                _faults.Add(table.PlaceOf("answers"), $"{table.Label} has one answer only", "two answers or more, the usual one first");
            }

            foreach (TomlText twice in (answers ?? []).Where((answer, index) => answers!.Take(index).Any(earlier => earlier.Value == answer.Value)))
            {
                _faults.Add(twice.Place, $"the answer {FaultList.Quote(twice.Value)} is there twice", "each answer once");
            }

            questions.Add(new Question(IdOf(table), ask ?? string.Empty, [.. (answers ?? []).Select(answer => answer.Value)]));
        }

        return questions;
    }

    private List<ReadyLine> ReadReady() => [.. Tables(StandardFormat.Ready).Select(table => new ReadyLine(
        IdOf(table), table.Text("ask", MaxAskLength) ?? string.Empty, table.Text("hint", MaxHintLength), table.Text("caution", MaxHintLength), _conditions.Read(table, mayAskValues: false)))];

    private void ReadLandmarks()
    {
        foreach (TableReader table in Tables(StandardFormat.Landmark))
        {
            string? name = table.Text("name", StandardNames.MaxNameLength);
            PlanePoint? at = _measures.Point(table, "at"), size = _measures.Size(table, "size");
            if (at is { } place && !CoatBounds.Hold(place))
            {
                _faults.Add(table.PlaceOf("at"), $"{table.Label} lies outside the coat", CoatBounds.Words);
            }

            if (name is null)
            {
                continue;
            }

            if (_names.Items.ContainsKey(name))
            {
                _faults.Add(table.PlaceOf("name"), $"{FaultList.Quote(name)} is an item's id", "a name of its own");
            }
            else if (!_names.Landmarks.TryAdd(name, new Landmark(name, at, size)))
            {
                _faults.Add(table.PlaceOf("name"), $"another landmark is called {FaultList.Quote(name)}", "a name of its own");
            }
        }
    }

    private static string IdOf(TableReader table) => table.Find("id")?.Node is TomlText text ? text.Value : string.Empty;
}
