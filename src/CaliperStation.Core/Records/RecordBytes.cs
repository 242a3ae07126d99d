using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>The bytes of a record, those that are hashed and signed; <c>docs/record-format.md</c> describes them for everybody.</summary>
public static class RecordBytes
{
    /// <summary>The canonical bytes, UTF-8.</summary>
    /// <exception cref="ArgumentException">The schema is not known, or a number is not finite.</exception>
    public static byte[] Write(Record record)
    {
        if (record.Schema is < Record.FirstSchema or > Record.CurrentSchema)
        {
            throw new ArgumentException($"Records of schema {record.Schema} cannot be written.", nameof(record));
        }

        CanonicalJson json = new();
        return json.Object(() => Members(json, record)).ToBytes();
    }

    private static void Members(CanonicalJson json, Record record)
    {
        bool first = record.Schema == Record.FirstSchema;
        bool third = record.Schema > Record.SecondSchema;
        json.Name("answers").Object(() =>
        {
            foreach ((string question, string answer) in record.Answers.OrderBy(pair => pair.Key, StringComparer.Ordinal))
            {
                json.Name(question).Text(answer);
            }
        });
        json.Name("asides").Array(record.Asides, aside => json.Object(() =>
        {
            json.Name("at").Instant(aside.At);
            json.Name("reason").Text(aside.Reason);
            json.Name("relation").Text(aside.Relation);
            json.Name("step").Text(aside.Step);
        }));
        json.Name("chain").Text(record.Chain);
        json.Name("closed").Instant(record.Closed);
        json.Name("comparisons").Array(record.Comparisons, comparison => Comparison(json, comparison));
        if (third)
        {
            json.Name("confirmed").Array(record.Confirmed, answered => Answered(json, answered));
            json.Name("events");
            if (record.Events is { } events)
            {
                json.Object(() =>
                {
                    Mark(json.Name("first"), events.First);
                    Mark(json.Name("last"), events.Last);
                });
            }
            else
            {
                json.Null();
            }
        }

        json.Name("hand").Text(record.Hand);
        if (!first)
        {
            json.Name("hands").Array(record.Hands, json.Text);
        }

        json.Name("id").Text(record.Id);
        json.Name("judging").Object(() => Judging(json, record.Judging));
        json.Name("kind").Text(RecordWords.Of(record.Kind));
        json.Name("moves").Array(record.Moves, move => json.Object(() =>
        {
            json.Name("at").Instant(move.At);
            json.Name("items").Array(move.Items, json.Text);
        }));
        if (record.NotSo.Count > 0)
        {
            json.Name("notSo").Array(record.NotSo, answered => Answered(json, answered));
        }

        json.Name("number").Whole(record.Number);
        json.Name("ofRecord").Text(record.OfRecord);
        if (!first)
        {
            json.Name("practice").Truth(record.Practice);
        }

        json.Name("previous").Text(record.Previous);
        json.Name("readings").Array(record.Readings, reading => json.Object(() =>
        {
            json.Name("from").Text(reading.From);
            json.Name("of").Text(reading.Of);
            json.Name("step").Text(reading.Step);
            json.Name("takes").Array(reading.Takes, take => Take(json, take, first));
        }));
        json.Name("schema").Whole(record.Schema);
        json.Name("seed");
        if (record.Seed is { } seed)
        {
            json.Whole(seed);
        }
        else
        {
            json.Null();
        }

        json.Name("signedBy").Text(record.SignedBy);
        json.Name("standard").Object(() =>
        {
            json.Name("edition").Text(record.Standard.Edition);
            json.Name("name").Text(record.Standard.Name);
            json.Name("sha256").Text(record.Standard.Sha256);
        });
        json.Name("started").Instant(record.Started);
        json.Name("tag").Text(record.Tag);
        if (!first)
        {
            json.Name("tagCorrections").Array(record.TagCorrections, correction => json.Object(() =>
            {
                json.Name("at").Instant(correction.At);
                json.Name("from").Text(correction.From);
                json.Name("reason").Text(correction.Reason);
            }));
        }

        json.Name("verdicts").Array(record.Verdicts, verdict => Verdict(json, verdict));
        json.Name("verified").Truth(record.Verified);
        if (third)
        {
            json.Name("withdrawn").Array(record.Withdrawn, withdrawal => json.Object(() =>
            {
                json.Name("at").Instant(withdrawal.At);
                json.Name("step").Text(withdrawal.Step);
                json.Name("takes").Array(withdrawal.Takes, take => Take(json, take, false));
                json.Name("why").Text(RecordWords.Why(withdrawal));
            }));
        }
    }

    private static void Answered(CanonicalJson json, RecordConfirmation answered) => json.Object(() =>
    {
        json.Name("at").Instant(answered.At);
        json.Name("line").Text(answered.Line);
    });

    private static void Mark(CanonicalJson json, EventMark mark) => json.Object(() =>
    {
        json.Name("hash").Text(mark.Hash);
        json.Name("number").Whole(mark.Number);
    });

    private static void Comparison(CanonicalJson json, RecordComparison comparison) => json.Object(() =>
    {
        json.Name("agrees").Truth(comparison.Agrees);
        json.Name("en").Number(comparison.En);
        json.Name("firstNm").Number(comparison.FirstNanometres);
        json.Name("secondNm").Number(comparison.SecondNanometres);
        json.Name("step").Text(comparison.Step);
        json.Name("why").Text(comparison.Why);
    });

    private static void Judging(CanonicalJson json, JudgingSettings judging)
    {
        json.Name("caliperNm").Whole(judging.Caliper.Nanometres);
        json.Name("confidence").Number(judging.Confidence);
        json.Name("handNm").Whole(judging.Hand.Nanometres);
        json.Name("rule").Text(RecordWords.Of(judging.Rule));
        if (judging.Figures.Count > 0)
        {
            json.Name("studies").Array(judging.Figures, figure => json.Object(() =>
            {
                json.Name("date").Text(figure.Date.ToString(HandFigureJson.Day, System.Globalization.CultureInfo.InvariantCulture));
                json.Name("hand").Text(figure.Hand);
                json.Name("repeatabilityDegrees").Whole(figure.RepeatabilityDegrees);
                json.Name("repeatabilityNm").Whole(figure.Repeatability.Nanometres);
                json.Name("reproducibilityDegrees").Whole(figure.ReproducibilityDegrees);
                json.Name("reproducibilityNm").Whole(figure.Reproducibility.Nanometres);
                json.Name("study").Text(figure.Study);
            }));
        }

        json.Name("withinNm").Whole(judging.Within.Nanometres);
    }

    private static void Take(CanonicalJson json, Reading take, bool first) => json.Object(() =>
    {
        json.Name("at").Instant(take.At);
        if (!first)
        {
            json.Name("hand").Text(take.Hand);
        }

        json.Name("raw").Text(take.Raw);
        json.Name("resolutionNm").Whole(take.Resolution.Nanometres);
        json.Name("source").Text(FileWords.Of(take.Source));
        json.Name("unit").Text(FileWords.Of(take.Unit));
        json.Name("valueNm").Whole(take.Value.Nanometres);
    });

    private static void Verdict(CanonicalJson json, RecordVerdict verdict) => json.Object(() =>
    {
        json.Name("conformance").Number(verdict.Conformance);
        if (verdict.Degrees is { } degrees)
        {
            json.Name("degrees").Whole(degrees);
        }

        json.Name("dimension").Text(RecordWords.Of(verdict.Dimension));
        if (RecordWords.Excludes(verdict) is { } excludes)
        {
            json.Name("excludes").Text(excludes);
        }

        json.Name("kind").Text(verdict.Kind.Word);
        json.Name("lower").Number(verdict.Lower);
        json.Name("nominal").Number(verdict.Nominal);
        json.Name("relation").Text(verdict.Relation);
        json.Name("steps").Array(verdict.Steps, json.Text);
        json.Name("uncertainty").Number(verdict.Uncertainty);
        json.Name("upper").Number(verdict.Upper);
        json.Name("value").Number(verdict.Value);
        json.Name("verdict").Text(RecordWords.Of(verdict.Verdict));
    });
}
