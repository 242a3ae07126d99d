using System.Buffers;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Reports;

/// <summary>What the bench tells, as JSON, one object a line. The names are a promise to scripts: additions only; docs/bench-lines.md has them all.</summary>
public static class BenchJson
{
    /// <summary>One object without a line end.</summary>
    public static string Of(Said said)
    {
        ArrayBufferWriter<byte> buffer = new(512);
        using (Utf8JsonWriter json = new(buffer))
        {
            json.WriteStartObject();
            Write(json, said);
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(buffer.WrittenSpan);
    }

    private static void Write(Utf8JsonWriter json, Said said)
    {
        switch (said)
        {
            case Said.Asked asked:
                Event(json, "prompt");
                Ask(json, asked.Want);
                break;
            case Said.Questioned { Question: var question }:
                Event(json, "prompt");
                json.WriteString("kind", "question");
                json.WriteString("step", question.Id);
                json.WriteString("ask", question.Ask);
                JsonText.Strings(json, "answers", question.Answers);
                break;
            case Said.Took took:
                Event(json, "reading");
                json.WriteString("step", took.Step.Id);
                json.WriteNumber("valueNm", took.Reading.Value.Nanometres);
                json.WriteString("source", FileWords.Of(took.Reading.Source));
                json.WriteNumber("resolutionNm", took.Reading.Resolution.Nanometres);
                json.WriteString("raw", took.Reading.Raw);
                json.WriteNumber("take", took.Take);
                json.WriteString("hand", took.Reading.Hand);
                if (took.ExpectedAfterMove is { } should)
                {
                    json.WriteNumber("foretoldNm", should.Nanometres);
                }

                break;
            case Said.Judged judged:
                Event(json, "verdict");
                VerdictJson.WriteMembers(json, judged.Judgement);
                break;
            case Said.Advised advised:
                Event(json, "advice");
                AdviceJson.WriteMove(json, advised.Move);
                json.WriteString("caution", Cautions.Pins);
                break;
            case Said.Displaced displaced:
                Event(json, "displacement");
                AdviceJson.WritePose(json, displaced.Pose);
                break;
            case Said.Remarked remarked:
                Event(json, "remark");
                json.WriteString("words", remarked.Words);
                break;
            case Said.SeeTo see:
                Event(json, "remark");
                json.WriteString("words", see.Line.Ask);
                Optional(json, "caution", see.Line.Caution);
                break;
            case Said.Confirmed confirmed:
                Event(json, "confirmed");
                json.WriteString("step", confirmed.Line);
                break;
            case Said.NotSo not:
                Event(json, "not-so");
                json.WriteString("step", not.Look.Id);
                break;
            case Said.Begun begun:
                Event(json, "begun");
                json.WriteString("step", begun.Look.Id);
                json.WriteString("until", FileWords.Instant(begun.Until));
                break;
            case Said.TimeIsOver over:
                Event(json, "time-over");
                json.WriteString("step", over.Look.Id);
                break;
            case Said.Unconfirmed unconfirmed:
                Event(json, "unconfirmed");
                json.WriteString("step", unconfirmed.Line);
                break;
            case Said.PinMoved moved:
                Event(json, "pin");
                json.WriteString("item", moved.Pin.Item);
                json.WriteNumber("pin", moved.Pin.Move.Pin);
                json.WriteBoolean("moved", !moved.IsTakenBack);
                break;
            case Said.Withdrawn withdrawn:
                Event(json, "withdrawn");
                json.WriteString("step", withdrawn.Step.Id);
                break;
            case Said.Moved moved:
                Event(json, "moved");
                JsonText.Strings(json, "items", moved.Items);
                break;
            case Said.Stale stale:
                Event(json, "stale");
                JsonText.Strings(json, "steps", stale.Steps);
                break;
            case Said.SetAside aside:
                Event(json, "aside");
                JsonText.Strings(json, "relations", aside.Relations);
                break;
            case Said.Refused refused:
                Event(json, "refused");
                json.WriteString("why", refused.Why);
                break;
            case Said.HoldStill or Said.Waits:
                Event(json, "wait");
                json.WriteString("for", said is Said.HoldStill ? "steady" : "value");
                break;
            case Said.Warned warned:
                Event(json, "doubt");
                json.WriteString("step", warned.Step.Id);
                json.WriteString("kind", Name(warned.Warning.Kind));
                json.WriteNumber("valueNm", warned.Reading.Value.Nanometres);
                json.WriteString("source", FileWords.Of(warned.Reading.Source));
                json.WriteString("why", warned.Warning.Words);
                break;
            case Said.Narrow { UnverifiableTolerance: var narrow }:
                Event(json, "narrow");
                string unit = VerdictJson.UnitOf(narrow.Dimension);
                json.WriteString("relation", narrow.Relation.Id);
                json.WriteNumber("uncertainty" + unit, narrow.Uncertainty);
                json.WriteNumber("needed" + unit, narrow.Needed);
                break;
            case Said.Lost lost:
                Event(json, "lost");
                json.WriteString("kind", Name(lost.Kind));
                json.WriteString("why", lost.Words);
                break;
            case Said.Back back:
                Event(json, "back");
                json.WriteBoolean("again", back.Again);
                break;
            case Said.Noted noted:
                Event(json, "caliper");
                json.WriteString("kind", Name(noted.Kind));
                json.WriteString("words", noted.Words);
                break;
            case Said.BadFrame bad:
                Event(json, "caliper");
                json.WriteString("kind", "badFrame");
                json.WriteString("fault", Name(bad.Kind));
                json.WriteString("words", bad.Words);
                json.WriteString("raw", bad.Raw);
                break;
            case Said.Diagnosed diagnosed:
                Event(json, "caliper");
                json.WriteString("kind", "line");
                json.WriteString("words", diagnosed.Words);
                break;
            case Said.Practice:
                Event(json, "practice");
                json.WriteBoolean("practice", true);
                break;
            case Said.Resumed { Resume: var resume }:
                Event(json, "resumed");
                Resumed(json, resume);
                json.WriteBoolean("standardChanged", resume.StandardChanged);
                break;
            case Said.HandIs hand:
                Event(json, "hand");
                json.WriteString("hand", hand.Hand);
                break;
            case Said.TagIs tag:
                Event(json, "tag");
                json.WriteString("tag", tag.Tag);
                break;
            case Said.Abandoned abandoned:
                Event(json, "abandoned");
                json.WriteString("reason", abandoned.Reason);
                break;
            case Said.Compared { Comparison: var comparison }:
                double difference = comparison.SecondNanometres - comparison.FirstNanometres;
                Event(json, "comparison");
                json.WriteString("step", comparison.Step);
                json.WriteString("why", comparison.Why);
                json.WriteNumber("firstNm", comparison.FirstNanometres);
                json.WriteNumber("secondNm", comparison.SecondNanometres);
                json.WriteNumber("differenceNm", difference);
                json.WriteNumber("differenceTicks", difference / Length.Tick.Nanometres);
                json.WriteNumber("en", comparison.En);
                json.WriteBoolean("agrees", comparison.Agrees);
                break;
            case Said.Invalidates { Invalidated: var invalidated }:
                Event(json, "doubtful");
                JsonText.Strings(json, "steps", invalidated.Steps);
                JsonText.Strings(json, "relations", invalidated.Relations);
                break;
            case Said.Kept kept:
                Event(json, "reading");
                json.WriteString("step", kept.Step.Id);
                json.WriteNumber("valueNm", kept.Reading.Value.Nanometres);
                json.WriteString("source", FileWords.Of(kept.Reading.Source));
                json.WriteNumber("resolutionNm", kept.Reading.Resolution.Nanometres);
                json.WriteString("raw", kept.Reading.Raw);
                json.WriteString("hand", kept.Reading.Hand);
                break;
            case Said.StudyDone { Study: var study }:
                Event(json, "study");
                json.WriteString("study", study.Plan.Id);
                json.WriteString("hand", study.Hand);
                json.WriteBoolean("complete", study.Missing == 0);
                json.WriteNumber("missing", study.Missing);
                break;
            case Said.Checked point:
                Event(json, "reading");
                json.WriteString("step", point.Step.Id);
                json.WriteNumber("valueNm", point.Point.Shown.Nanometres);
                json.WriteString("source", FileWords.Of(point.Reading.Source));
                json.WriteNumber("errorNm", point.Point.Error.Nanometres);
                json.WriteString("place", CheckWords.Of(point.Point.Place));
                json.WriteString("verdict", point.IsWithin ? "within" : "outside");
                break;
            case Said.CheckDone { Check: var check } done:
                Event(json, "check");
                json.WriteBoolean("within", check.IsWithin);
                json.WriteString("port", done.Port);
                json.WriteNumber("rangeNm", check.Range.Nanometres);
                json.WriteNumber("permissibleNm", check.Permissible.Outside.Constant.Nanometres);
                if (check.Permissible.Outside.Per is > 0 and var per)
                {
                    json.WriteNumber("permissiblePer", per);
                }

                json.WriteNumber("largestErrorNm", check.Worst.Error.Nanometres);
                json.WriteNumber("points", check.Points.Count);
                Optional(json, "shortfall", check.Shortfall);
                break;
            case Said.Closed closed:
                Event(json, "closed");
                json.WriteString("record", closed.Record.Id);
                json.WriteBoolean("verified", closed.Record.IsVerified);
                json.WriteBoolean("practice", closed.IsPractice);
                json.WriteBoolean("allWithin", closed.IsAllWithin);
                if (closed.Record.Kind != RecordKind.Sitting)
                {
                    json.WriteString("kind", RecordWords.Of(closed.Record.Kind));
                    json.WriteString("ofRecord", closed.Record.OfRecord);
                    JsonText.Strings(json, "hands", closed.Record.Hands);
                    JsonText.Strings(json, "firstHands", closed.First?.Hands ?? []);
                }

                break;
            default:
                throw new System.Diagnostics.UnreachableException();
        }
    }

    private static void Ask(Utf8JsonWriter json, Want want)
    {
        (string kind, string? step, string? hint, string? caution) = want switch
        {
            { SameCoat: not null } => ("same-coat", null, null, null),
            { Prompt: Prompt.See { Look: var look } } => (look.IsReady ? "ready" : "look", look.Id, look.Hint, look.Caution),
            { Prompt: Prompt.Read { Step: var asked } } => (want.Block is null ? "reading" : "check", asked.Id, asked.Hint, asked.Caution),
            { Prompt: Prompt.Decide decide } => ("decide", decide.Last.Id, null, decide.Last.Caution),
            { Prompt: Prompt.Sign } => ("sign", null, null, (string?)null),
            _ => ("closed", null, null, null),
        };
        json.WriteString("kind", kind);
        json.WriteString("step", step);
        if (want.Block is { } block)
        {
            json.WriteNumber("blockNm", block.Block.Nanometres);
            json.WriteString("place", CheckWords.Of(block.Place));
        }

        json.WriteString("ask", want.Prompt is Prompt.Read { Again: null, Step.Ask: var ask } && want is { SameCoat: null, Warning: null } ? ask : BenchText.Ask(want, LengthDisplay.Millimetre));
        Optional(json, "hint", hint);
        Optional(json, "caution", caution);
        IReadOnlyList<Judgement> outside = want.Prompt is Prompt.Decide held ? held.Outside : want.Outside;
        if (outside.Count > 0)
        {
            JsonText.Strings(json, "outside", outside.Select(judgement => judgement.Relation.Id).Distinct());
        }

        if (want.Prompt is Prompt.Read { Again: { } again })
        {
            JsonText.Strings(json, "borderline", [again.Relation.Id]);
        }

        if (want.Prompt is Prompt.See { IsNot: true })
        {
            json.WriteBoolean("notSo", true);
        }

        if (want.Prompt is Prompt.See { Until: { } until })
        {
            json.WriteString("until", FileWords.Instant(until));
        }

        if (want.Pin is { } pin)
        {
            json.WriteString("item", pin.Item);
            json.WriteNumber("pin", pin.Move.Pin);
        }

        if (want.Reason is not null)
        {
            json.WriteString("reason", want.Reason);
        }

        if (want.Warning is { } warning)
        {
            json.WriteString("doubt", Name(warning.Warning.Kind));
        }

        if (want.SameCoat is { } resume)
        {
            Resumed(json, resume);
        }
    }

    private static void Resumed(Utf8JsonWriter json, Resume resume)
    {
        json.WriteString("tag", resume.Tag);
        json.WriteString("last", FileWords.Instant(resume.Last));
        json.WriteNumber("readings", resume.Readings);
        JsonText.Strings(json, "hands", resume.Hands);
    }

    private static void Event(Utf8JsonWriter json, string name) => json.WriteString("event", name);

    /// <summary>A kind as it is written: its name with a small first letter.</summary>
    private static string Name<T>(T kind)
        where T : struct, Enum => JsonNamingPolicy.CamelCase.ConvertName(kind.ToString());

    private static void Optional(Utf8JsonWriter json, string name, string? value)
    {
        if (value is not null)
        {
            json.WriteString(name, value);
        }
    }
}
