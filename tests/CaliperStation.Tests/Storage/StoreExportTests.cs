using System.Text;
using CaliperStation.Cli;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Storage;
using CsCheck;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

public sealed class StoreExportTests
{
    private static readonly Gen<string> _text = Gen.OneOf(
        One("", "QG-001", "=1+1", "a,b", "say \"so\"", "back\\slash", "\\\"", "-3", "@x", "é ü", "tab\\x09", "日本"),
        Gen.Char[' ', '~'].Array[0, 12].Select(characters => new string(characters)));

    private static readonly Gen<double> _conformance = Gen.OneOf(
        Gen.Double[0, 1], One(0.0, 1.0, 0.5, 0.0001, 0.00012345, 0.00001, 1e-7, 5e-324, 0.1 + 0.2, 0.999999999999999));

    private static readonly Gen<DateTimeOffset> _instant = Gen.Long[0, 4_000_000_000_000].Select(DateTimeOffset.FromUnixTimeMilliseconds);

    private static readonly Gen<ReadingSource> _source = Gen.OneOf(One(ReadingSource.Typed, ReadingSource.Serial, ReadingSource.Keyboard), Gen.Enum<ReadingSource>());   // not nearly all practice

    private static readonly Gen<Reading> _take = Gen.Select(
        Gen.OneOf(Gen.Long[-2_000_000, 2_000_000], Gen.Long[-400_000_000_000, 400_000_000_000], Gen.Const(0L)), Gen.Bool, _source, _instant, _text,
        (value, inch, source, at, raw) => new Reading(Length.FromNanometres(value), inch ? LengthUnit.Inch : LengthUnit.Millimetre, Length.FromNanometres(10_000), source, at, raw) { Hand = P(raw) });

    private static readonly Gen<RecordReading> _reading = Gen.Select(
        One("a", "b", "c\"", "d,e"), _text, _text, _take.Array[0, 3], (step, of, from, takes) => new RecordReading(step, of, from, takes));

    private static readonly Gen<RecordVerdict> _verdict = Gen.Select(
        One("a", "b", "c\"", "d,e").Array[0, 3], _conformance, Gen.Enum<Verdict>(), Gen.Double[-1e9, 1e9],
        (steps, conformance, verdict, value) => new RecordVerdict("r", RelationKind.Gap, steps, Dimension.Length, value, null, value, 1, 2, conformance, verdict));

    private static readonly Gen<Record> _record = Gen.Select(
        _text, _text, _text, Gen.Enum<RecordKind>(), _reading.Array[0, 4], _verdict.Array[0, 4], _instant, Gen.Bool,
        (tag, hand, name, kind, readings, verdicts, at, some) => StoreFixture.Make(1, new("k", 1, Record.NoPrevious)) with
        {
            Schema = at.Ticks % 20_000 == 0 ? Record.FirstSchema : Record.CurrentSchema,
            Tag = tag,
            Hand = hand,
            Hands = [hand, P(name)],
            Practice = kind == RecordKind.Recheck,
            TagCorrections = some ? [new(P(tag), P(name), at)] : [],
            SignedBy = hand,
            Kind = kind,
            OfRecord = some ? name : null,
            Standard = new(name, tag, new string('a', 64)),
            Readings = readings,
            Verdicts = verdicts,
            Started = at,
            Closed = at,
            Verified = some,
            Seed = some ? 7 : null,
            Answers = some ? new Dictionary<string, string> { [name] = tag } : [],
            Moves = some ? [new(["rack", name], at)] : [],
            Asides = some ? [new("r", null, name, at)] : [],
            Comparisons = some ? [new("a", "close", 1, 2.5, 0.1, true)] : [],
        });

    /// <summary>The whole command over random stores of hostile text, against a writer made only from the table of <c>docs/export-format.md</c>.</summary>
    [Fact]
    public void A_file_of_random_records_holds_what_a_plain_writer_writes()
    {
        Gen.Select(_record.Array[1, 12], Gen.Bool).Sample((records, withoutInitials) =>
        {
            using TemporaryFolder place = new();
            StringBuilder plain = new(RecordExport.CsvHeading);
            using (Store store = StoreFixture.Work(place.Paths))
            using (StationKey key = StationKey.Open(place.Paths))
            {
                for (int n = 0; n < records.Length; n++)
                {
                    ChainPlace next = store.Records.NextPlace(key);
                    Record record = Plain(records[n]) with { Id = $"r-{n}", Chain = next.Chain, Number = next.Number, Previous = next.Previous };
                    RecordStore.Close(store, record, key, StoreFixture.At.AddDays(n));
                    PlainCsv.Write(RecordParse.Of(RecordBytes.Write(record)).Record!, withoutInitials, plain);
                }
            }

            string file = Path.Combine(place.Path, "out.csv");
            Assert.Equal(0, RecordsExport.Run(new(place.Path, new(), Csv: true, withoutInitials, file), StoreFixture.Clock, TextWriter.Null, TextWriter.Null));
            Assert.Equal(plain.ToString(), Encoding.UTF8.GetString(File.ReadAllBytes(file)));
            foreach (string[] row in PlainCsv.Read(File.ReadAllText(file)))
            {
                Assert.Equal(25, row.Length);
                Assert.DoesNotContain(row, field => field.Length > 0 && "=+@\t\r".Contains(field[0], StringComparison.Ordinal));
            }
        }, seed: "000000000000", iter: 25, threads: 1);
    }

    /// <summary>Every filter, both forms, with and without initials.</summary>
    [Fact]
    public void A_filter_lets_through_what_asking_each_record_gives()
    {
        Gen<RecordFilter> filter = Gen.Select(
            Gen.OneOf(Gen.Const((string?)null), _text), Gen.OneOf(Gen.Const((string?)null), _text), Gen.OneOf(Gen.Const((Verdict?)null), Gen.Enum<Verdict>().Select(verdict => (Verdict?)verdict)),
            Gen.Long[0, 4_000_000_000_000], Gen.Int[0, 3],
            (hand, item, verdict, at, range) => new RecordFilter(
                null, (range & 1) == 0 ? null : DateTimeOffset.UnixEpoch.AddMilliseconds(at / 2).AddTicks(at % 3), (range & 2) == 0 ? null : DateTimeOffset.UnixEpoch.AddMilliseconds(at).AddTicks(at % 3), hand, item, verdict));
        int some = 0;
        Gen.Select(_record.Array[6], filter.Array[25]).Sample((records, filters) =>
        {
            using TemporaryFolder place = new();
            List<SealedRecord> filed = [];
            using Store store = StoreFixture.Work(place.Paths);
            using StationKey key = StationKey.Open(place.Paths);
            foreach (Record made in records)
            {
                ChainPlace next = store.Records.NextPlace(key);
                filed.Add(RecordStore.Close(store, Plain(made) with { Id = $"r-{filed.Count}", Chain = next.Chain, Number = next.Number, Previous = next.Previous }, key, StoreFixture.At));
            }

            foreach (RecordFilter wanted in filters)
            {
                for (int kind = 0; kind < 4; kind++)
                {
                    ExportRequest request = new(wanted, (kind & 1) == 0, (kind & 2) == 0);
                    using StringWriter asked = new();
                    asked.Write(request.Csv ? RecordExport.CsvHeading : "");
                    ExportEnd end = new();
                    foreach (SealedRecord seal in filed)
                    {
                        Record record = RecordParse.Of(seal.Bytes.Span).Record!;   // as it is read back: instants to the millisecond
                        if (wanted.Wants(RecordSummary.Of(record)))
                        {
                            request.Write(seal, record, asked);
                            end.Add(record, seal.Hash);
                        }
                    }

                    asked.Write(request.Csv ? "" : end.ToText() + "\n");
                    using StringWriter exported = new();
                    store.Records.Export(request, exported);
                    Assert.Equal(asked.ToString(), exported.ToString());
                    some += exported.ToString().Length > RecordExport.CsvHeading.Length ? 1 : 0;
                }
            }
        }, seed: "000000000000", iter: 12, threads: 1);
        Assert.True(some > 100, $"only {some} exports held anything");
    }

    private static Gen<T> One<T>(params T[] values) => Gen.Int[0, values.Length - 1].Select(index => values[index]);

    private static Record Plain(Record made) => made with
    {
        Tag = P(made.Tag),
        Hand = P(made.Hand),
        SignedBy = P(made.SignedBy),
        Hands = [.. made.Hands.Select(P)],
        OfRecord = made.OfRecord is { } of ? P(of) : null,
    };

    private static string P(string text) => PrintableText.Escape(text);
}
