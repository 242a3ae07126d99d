using System.Buffers;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>The plain bench as JSON Lines. The names are a promise to scripts: additions only.</summary>
internal sealed class PlainJsonFace(TextWriter output) : IPlainFace
{
    private readonly ArrayBufferWriter<byte> _buffer = new(512);

    public void Prompt(SittingView view) => Prompt(view.Prompt, 0, 0);

    public void Prompt(Prompt prompt, int at, int of) => Line("prompt", json =>
    {
        (string kind, string? step, string ask, string? hint, string? caution) = PlainWords.Prompt(prompt);
        json.WriteString("kind", kind);
        json.WriteString("step", step);
        json.WriteString("ask", ask);
        Optional(json, "hint", hint);
        Optional(json, "caution", caution);
        if (prompt is Prompt.Decide decide)
        {
            Strings(json, "outside", decide.Outside.Select(judgement => judgement.Relation.Id).Distinct());
        }
        else if (prompt is Prompt.Read { Again: { } again })
        {
            Strings(json, "borderline", [again.Relation.Id]);
        }
    });

    public void Question(Question question) => Line("prompt", json =>
    {
        json.WriteString("kind", "question");
        json.WriteString("step", question.Id);
        json.WriteString("ask", question.Ask);
        Strings(json, "answers", question.Answers);
    });

    public void Reading(Step step, Reading reading, int take) => Line("reading", json =>
    {
        json.WriteString("step", step.Id);
        json.WriteNumber("valueNm", reading.Value.Nanometres);
        json.WriteString("source", SittingEventJson.SourceName(reading.Source));
        json.WriteNumber("resolutionNm", reading.Resolution.Nanometres);
        json.WriteString("raw", reading.Raw);
        json.WriteNumber("take", take);
    });

    public void Verdict(Judgement judgement) => Line("verdict", json => VerdictJson.WriteMembers(json, judgement));

    public void Advice(Plan plan, ItemMove move) => Line("advice", json => AdviceJson.WriteMove(json, move));

    public void Displaced(Plan plan, ItemPose pose) => Line("displacement", json => AdviceJson.WritePose(json, pose));

    public void Remark(string words) => Line("remark", json => json.WriteString("words", words));

    public void Stale(IReadOnlyList<string> steps) => Line("stale", json => Strings(json, "steps", steps));

    public void Refused(string why) => Line("refused", json => json.WriteString("why", why));

    public void Narrow(TooNarrow narrow) => Line("narrow", json =>
    {
        string unit = VerdictJson.UnitOf(narrow.Dimension);
        json.WriteString("relation", narrow.Relation.Id);
        json.WriteNumber("uncertainty" + unit, narrow.Uncertainty);
        json.WriteNumber("needed" + unit, narrow.Needed);
    });

    public void Closed(string record, bool verified) => Line("closed", json =>
    {
        json.WriteString("record", record);
        json.WriteBoolean("verified", verified);
    });

    public void Comparison(SecondSitting second, RecordComparison comparison) => Line("comparison", json =>
    {
        double difference = comparison.SecondNanometres - comparison.FirstNanometres;
        json.WriteString("step", comparison.Step);
        json.WriteString("why", comparison.Why);
        json.WriteNumber("firstNm", comparison.FirstNanometres);
        json.WriteNumber("secondNm", comparison.SecondNanometres);
        json.WriteNumber("differenceNm", difference);
        json.WriteNumber("differenceTicks", difference / Length.Tick.Nanometres);
        json.WriteNumber("en", comparison.En);
        json.WriteBoolean("agrees", comparison.Agrees);
        if (second.Started.Kind == RecordKind.Recheck)
        {
            json.WriteBoolean("moved", !comparison.Agrees);
        }
    });

    public void Doubtful(Doubtful doubtful) => Line("doubtful", json =>
    {
        Strings(json, "steps", doubtful.Steps);
        Strings(json, "relations", doubtful.Relations);
    });

    public void Closed(Record record) => Line("closed", json =>
    {
        json.WriteString("record", record.Id);
        json.WriteBoolean("verified", record.Verified);
        json.WriteString("kind", RecordWords.Of(record.Kind));
        json.WriteString("ofRecord", record.OfRecord);
    });

    private static void Optional(Utf8JsonWriter json, string name, string? value)
    {
        if (value is not null)
        {
            json.WriteString(name, value);
        }
    }

    private static void Strings(Utf8JsonWriter json, string name, IEnumerable<string> values)
    {
        json.WriteStartArray(name);
        foreach (string value in values)
        {
            json.WriteStringValue(value);
        }

        json.WriteEndArray();
    }

    private void Line(string name, Action<Utf8JsonWriter> members)
    {
        _buffer.ResetWrittenCount();
        using (Utf8JsonWriter json = new(_buffer))
        {
            json.WriteStartObject();
            json.WriteString("event", name);
            members(json);
            json.WriteEndObject();
        }

        output.Write(Encoding.UTF8.GetString(_buffer.WrittenSpan) + "\n");
        output.Flush();
    }
}
