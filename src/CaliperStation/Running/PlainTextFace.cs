using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>The plain bench in words: one prompt a line, one answer a line, each beginning with what it is.</summary>
internal sealed class PlainTextFace(TextWriter output, LengthDisplay show) : IPlainFace
{
    public void Prompt(SittingView view) => Prompt(
        view.Prompt,
        view.Prompt is Core.Sittings.Prompt.Read read ? view.State.Plan.PositionOf(read.Step.Id) + 1 : 0,
        view.State.Plan.Steps.Count);

    public void Prompt(Prompt prompt, int at, int of)
    {
        (string kind, string? step, string ask, string? hint, string? caution) = PlainWords.Prompt(prompt);
        if (caution is not null)
        {
            Line("caution", caution);
        }

        string where = prompt is Core.Sittings.Prompt.Read { Again: null } ? $" [{at}/{of}]" : "";
        Line(kind + where, $"{(step is null ? "" : step + ": ")}{ask}{(hint is null ? "" : $" ({hint})")}");
    }

    public void Question(Question question) =>
        Line("question", $"{question.Id}: {question.Ask} ({string.Join(", ", question.Answers)}; Enter for {question.Answers[0]})");

    public void Reading(Step step, Reading reading, int take) =>
        Line("took", $"{step.Id}: {LengthFormat.Show(reading.Value, show)}, {SittingEventJson.SourceName(reading.Source)}{(take > 1 ? $", take {take}" : "")}");

    public void Verdict(Judgement judgement) => Line(
        VerdictText.Word(judgement.Verdict),
        $"{judgement.Relation.Id}{(judgement.Relation.HoldsForEach ? $" at {judgement.Steps[0]}" : "")}: {VerdictText.Detail(judgement, show)}");

    public void Advice(Plan plan, ItemMove move)
    {
        string then = string.Join(", ", move.Should.Select(pair => $"{pair.Step} {LengthFormat.Show(pair.Should, show)}"));
        Line("move", $"{plan.Standard.NameOf(move.Item)} ({move.Item}): {string.Join("; ", move.Pins.Select(pin => pin.Words))}{(then.Length == 0 ? "" : $" (then {then})")}");
        if (move.WillBreak.Count > 0)
        {
            Line("mind", $"that move will push outside: {string.Join(", ", move.WillBreak)}");
        }
    }

    public void Displaced(Plan plan, ItemPose pose) => Line("lies", $"{pose.Item}: {AdviceText.Displacement(plan.Standard, pose)}");

    public void Remark(string words) => Line("mind", words);

    public void Stale(IReadOnlyList<string> steps) => Line("stale", $"to be read again: {string.Join(", ", steps)}");

    public void Refused(string why) => Line("refused", why);

    public void Narrow(TooNarrow narrow) => Line("narrow", VerdictText.Narrow(narrow));

    public void Closed(string record, bool verified) => Line("closed", $"record {record}, {(verified ? "verified" : "not verified")}");

    public void Comparison(SecondSitting second, RecordComparison comparison) =>
        Line(SecondText.Word(second.Started.Kind, comparison.Agrees), SecondText.Detail(comparison, show));

    public void Doubtful(Doubtful doubtful) => Line("doubtful", SecondText.Detail(doubtful));

    public void Closed(Record record) =>
        Line("closed", $"record {record.Id}, {SecondText.Whole(record.Kind, record.Verified)} record {record.OfRecord}");

    private void Line(string kind, string words)
    {
        output.Write($"{kind}  {PrintableText.Escape(words)}\n");
        output.Flush();
    }
}
