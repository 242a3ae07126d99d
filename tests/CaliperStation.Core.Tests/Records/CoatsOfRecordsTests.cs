using System.Text;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CsCheck;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Records;

public sealed class CoatsOfRecordsTests : IDisposable
{
    private readonly Samples.Signer _signer = new();
    private readonly CoatsOfRecords _coats = new(new TrendFilter());

    public void Dispose() => _signer.Dispose();

    /// <summary>The same, slowly, from the record that <see cref="SealedRecord"/> reads: the oracle of this class.</summary>
    private static TrendCoat Slowly(Record record)
    {
        bool knows = record.Schema == 3;
        List<string> withdrawn = [.. record.Withdrawn.Select(withdrawal => withdrawal.Step)];
        string? HandOf(IEnumerable<RecordReading> readings) => readings.SelectMany(reading => reading.Takes).Select(take => take.Hand).ToList() is { Count: > 0 } hands
            && hands.Distinct(StringComparer.OrdinalIgnoreCase).Count() == 1 && hands[0].Length > 0 ? hands[^1] : null;
        List<TrendValue> values = [];
        foreach (RecordVerdict verdict in record.Verdicts.Where(verdict => verdict.Dimension == Dimension.Length && verdict.Steps.Count > 0))
        {
            List<RecordReading> readings = [.. verdict.Steps.Select(step => record.Readings.FirstOrDefault(reading => reading.Step == step)).OfType<RecordReading>()];
            double? aim = verdict.Nominal ?? (verdict.Lower + verdict.Upper) / 2;
            double Mean(RecordReading reading) => reading.Takes.Average(take => (double)take.Value.Nanometres);
            if (verdict.Kind.JudgesEach)
            {
                if (verdict.Steps.Count == 1 && readings.Count == 1 && aim is { } nominal && !values.Exists(value => value.Of == TrendOf.Step && value.Id == verdict.Steps[0]))
                {
                    bool right = !withdrawn.Contains(verdict.Steps[0]) && record.Verdicts.Where(other => other.Steps.Contains(verdict.Steps[0])).All(other => other.Verdict == Verdict.Within);
                    values.Add(new(TrendOf.Step, verdict.Steps[0], readings[0].Of, verdict.Value - nominal, readings[0].Of != readings[0].From, knows ? right : null, HandOf(readings)));
                }
            }
            else if ((verdict.Kind.IsSpread ? (verdict.Steps.Count == 2 && readings.Count == 2 ? Mean(readings[0]) - Mean(readings[1]) : null) : verdict.Value - aim) is { } deviation)
            {
                bool right = verdict.Verdict == Verdict.Within && !verdict.Steps.Intersect(withdrawn).Any();
                List<string?> hands = [.. readings.DistinctBy(reading => reading.Step).Select(reading => HandOf([reading])).Distinct()];
                values.Add(new(TrendOf.Rule, verdict.Relation, null, deviation, false, knows ? right : null, hands.Count == 1 ? hands[0] : null));
            }
        }

        List<Reading> takes = [.. record.Readings.SelectMany(reading => reading.Takes), .. record.Withdrawn.SelectMany(withdrawal => withdrawal.Takes)];
        return new TrendCoat(
            record.Id, record.Tag, record.Standard.Name, record.Standard.Edition, record.Standard.Sha256, record.Closed, takes.Count > 0 ? takes.Min(take => take.At) : null,
            knows ? record.Verdicts.All(verdict => verdict.Verdict == Verdict.Within) && record.Asides.Count == 0 && record.Moves.Sum(move => move.Items.Count) == 0 && withdrawn.Count == 0 : null,
            record.Moves.Sum(move => move.Items.Count), record.Hands.Count > 0 ? (record.Hands.Distinct(StringComparer.OrdinalIgnoreCase).Count() == 1 ? record.Hands[0] : null) : record.Hand.Length > 0 ? record.Hand : record.SignedBy, values);
    }

    private static void Same(TrendCoat expected, TrendCoat? glanced)
    {
        Assert.NotNull(glanced);
        Assert.Equal(expected.Values, glanced.Values);
        Assert.Equal(expected with { Values = [] }, glanced with { Values = [] });
    }

    [Fact]
    public void It_says_what_the_record_says()
    {
        Record record = Samples.Record() with { Practice = false };
        Same(Slowly(record), Glance(record));
        Assert.Equal("rack-left", Slowly(record).Values.Single().Id);
    }

    [Fact]
    public void It_says_what_any_record_says_one_after_another() => AnyRecord.Sample(record =>
    {
        SealedRecord seal = SealedRecord.Read(SealedRecord.Seal(record, _signer).ToText())!;
        Record read = seal.Record!;
        TrendCoat? glanced = _coats.Read(Encoding.UTF8.GetBytes(seal.ToText()));
        if (read.IsPractice || read.Kind != RecordKind.Sitting)
        {
            Assert.Null(glanced);
        }
        else
        {
            Same(Slowly(read), glanced);
        }

        Assert.Equal(0, _coats.Unreadable);
    }, iter: 400, threads: 1);

    [Theory]
    [InlineData(Record.FirstSchema)]
    [InlineData(Record.SecondSchema)]
    public void An_older_record_does_not_say_what_was_right_the_first_time(int schema)
    {
        Record old = SealedRecord.Read(SealedRecord.Seal(Samples.Record() with { Schema = schema }, _signer).ToText())!.Record!;
        TrendCoat coat = Glance(old)!;

        Same(Slowly(old), coat);
        Assert.Null(coat.FirstTimeRight);
        Assert.All(coat.Values, value => Assert.Null(value.FirstTimeRight));
    }

    [Fact]
    public void Practice_and_second_measurements_make_no_coat()
    {
        Record first = RemeasurementSample.First();
        Assert.Null(Glance(first with { Practice = true, Verified = false }));
        Assert.Null(Glance(Samples.Record() with { Practice = false, Readings = [.. Samples.Record().Readings.Select(reading => reading with { Takes = [.. reading.Takes.Select(take => take with { Source = ReadingSource.Replay })] })] }));
        Assert.Null(Glance(Samples.Record() with { Withdrawn = [.. Samples.Record().Withdrawn.Select(withdrawal => withdrawal with { Takes = [.. withdrawal.Takes.Select(take => take with { Source = ReadingSource.Emulated })] })] }));
        Assert.Null(Glance(RemeasurementSample.Filed(RemeasurementSample.Signed(first, RecordKind.Countersign, ("badge-gap", 3000)), first)));

        Assert.Equal((4L, 3L, 0L), (_coats.Seen, _coats.Practice, _coats.Unreadable));
    }

    [Fact]
    public void Cut_or_changed_bytes_are_counted_and_never_thrown()
    {
        byte[] text = Encoding.UTF8.GetBytes(SealedRecord.Seal(Samples.Record(), _signer).ToText());
        for (int length = 0; length < text.Length; length += 7)
        {
            Assert.Null(_coats.Read(text.AsSpan(0, length)));
        }

        Assert.Equal(_coats.Seen, _coats.Unreadable);
        Gen.Select(Gen.Int[0, text.Length - 1], Gen.Byte).Sample((at, value) =>
        {
            byte[] changed = [.. text];
            changed[at] = value;
            _coats.Read(changed);
        }, iter: 3_000, threads: 1);
        Assert.NotNull(_coats.Read(text));   // what was broken before does not stay
        Same(Slowly(Samples.Record()), _coats.Read(text));
    }

    [Fact]
    public void What_is_not_wanted_makes_no_coat()
    {
        Record record = Samples.Record();
        byte[] text = Encoding.UTF8.GetBytes(SealedRecord.Seal(record, _signer).ToText());

        Assert.Null(new CoatsOfRecords(new TrendFilter(Since: record.Closed.AddMilliseconds(1))).Read(text));
        Assert.NotNull(new CoatsOfRecords(new TrendFilter(Since: record.Closed)).Read(text));
        Assert.Null(new CoatsOfRecords(new TrendFilter(Until: record.Closed)).Read(text));
        Assert.Null(new CoatsOfRecords(new TrendFilter(Standard: "another")).Read(text));
    }

    private TrendCoat? Glance(Record record) => _coats.Read(Encoding.UTF8.GetBytes(SealedRecord.Seal(record, _signer).ToText()));

    private static Gen<Record> AnyRecord { get; } = Gen.Int[0, int.MaxValue].Select(seed =>
    {
        Random random = new(seed);
        T Pick<T>(params T[] from) => from[random.Next(from.Length)];
        string Step() => Pick("rack-left", "rack-right", "bédge \"low\"", "star", "plate");
        Reading Take() => new(Length.FromNanometres(random.NextInt64(-5_000_000, 5_000_000)), LengthUnit.Inch, Length.FromNanometres(12_700), random.Next(40) == 0 ? ReadingSource.Emulated : ReadingSource.Serial, Samples.Record().Started.AddSeconds(random.Next(700)), Pick("1/8", "\\x00", "é\"")) { Hand = Pick("AB", "ab", "CD", "") };
        Record sample = Samples.Record();
        return sample with
        {
            Schema = Pick(1, 2, 3, 3, 3),
            Kind = Pick(RecordKind.Sitting, RecordKind.Sitting, RecordKind.Sitting, RecordKind.Recheck),
            Hand = Pick("AB", ""),
            Hands = Pick<string[]>(["AB"], ["AB", "CD"], ["ab", "AB"], []),
            Readings = [.. Enumerable.Range(0, random.Next(5)).Select(_ => Step()).Distinct().Select(step => new RecordReading(step, Pick("rack", "badge"), Pick("rack", "left pocket"), [.. Enumerable.Range(0, random.Next(1, 4)).Select(_ => Take())]))],
            Verdicts = [.. Enumerable.Range(0, random.Next(6)).Select(n => new RecordVerdict(
                $"rule-{n}", Pick(RelationKind.Gap, RelationKind.Level, RelationKind.Equal, RelationKind.Flush, RelationKind.Pitch), [.. Enumerable.Range(0, random.Next(1, 4)).Select(_ => Step()).Distinct()], Pick(Dimension.Length, Dimension.Length, Dimension.Angle),
                random.NextDouble() * 1e7, Pick<double?>(null, 1e5), Pick<double?>(null, 1e8), Pick<double?>(null, 3_175_000), 151_000, 0.9, Pick(Verdict.Within, Verdict.Within, Verdict.Outside)))],
            Withdrawn = random.Next(2) == 0 ? [] : [new RecordWithdrawal(Step(), random.Next(2) == 0, sample.Started, [Take()])],
            Moves = random.Next(2) == 0 ? [] : [new RecordMove(["rack", "badge"], sample.Started)],
            Asides = random.Next(3) > 0 ? [] : [new RecordAside("rule-0", null, "as ordered", sample.Started)],
            Comparisons = [],
            Verified = false,
        };
    });
}
