using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;
using CaliperStation.Storage;
using Microsoft.Extensions.Time.Testing;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

/// <summary>A small store on a real disk with a few records of invented blouses.</summary>
internal static class StoreFixture
{
    public static readonly DateTimeOffset At = new(2026, 11, 20, 8, 0, 0, TimeSpan.Zero);

    public static FakeTimeProvider Clock { get; } = new(At);

    public static Store Work(StorePaths paths, List<StoreProgress>? progress = null) => Store.OpenForWork(paths, Clock, progress is null ? _ => { } : progress.Add);

    public static Store Look(StorePaths paths, List<StoreProgress>? progress = null) => Store.OpenToLook(paths, Clock, progress is null ? _ => { } : progress.Add);

    /// <summary>A look whose index cannot be used: each answer comes from the journal.</summary>
    public static Store LookAtTheJournal(StorePaths paths)
    {
        Store store = Look(paths);
        store.Index!.Break(new IOException("given up"));
        return store;
    }

    public static void Fill(StorePaths paths, int records)
    {
        using Store store = Work(paths);
        using StationKey key = StationKey.Open(paths);
        for (int n = 1; n <= records; n++)
        {
            File(store, key, n);
        }
    }

    public static SealedRecord File(Store store, StationKey key, int n)
    {
        string sitting = $"sitting-{n}";
        DateTimeOffset at = At.AddDays(n);
        store.Append(at, sitting, "started", Started(sitting, $"QG-{n % 3:000}"));
        store.Append(at.AddSeconds(1), sitting, "reading", """{"step":"rack-left","valueNm":3175000}""");
        store.Append(at.AddSeconds(2), sitting, "signed", """{"initials":"CD"}""");
        return RecordStore.Close(store, Make(n, store.Records.NextPlace(key)), key, at.AddSeconds(2));
    }

    public static string Started(string sitting, string tag) =>
        $$"""{"sitting":"{{sitting}}","tag":"{{tag}}","hand":"AB","standard":"{{new string('a', 64)}}","answers":{ } }""";

    public static Record Make(int n, ChainPlace place) => Make(n, place, n % 2 == 0 ? "AB" : "EF");

    private static Record Make(int n, ChainPlace place, string hand) => new(
        Record.CurrentSchema, place.Chain, place.Number, place.Previous, $"sitting-{n}", RecordKind.Sitting, null, $"QG-{n % 3:000}", hand, "CD",
        new RecordStandard("Quayside parade", "3", new string('a', 64)),
        new JudgingSettings(DecisionRule.Plain, 0.95, Length.HalfTick, Length.FromMicrometres(150), Length.FromMicrometres(20)),
        new Dictionary<string, string>(),
        At.AddDays(n), At.AddDays(n).AddSeconds(2),
        [
            new("rack-left", "rack", "left pocket", [new(Length.FromMicrometres(3175 + n), LengthUnit.Inch, Length.FromNanometres(12_700), ReadingSource.Serial, At.AddDays(n), "=1+1") { Hand = hand }]),
            new(n == 2 ? "badge-low" : "rack-right", n == 2 ? "badge" : "rack", "left pocket", [new(Length.FromMicrometres(3175), LengthUnit.Inch, Length.FromNanometres(12_700), ReadingSource.Typed, At.AddDays(n), "1/8, \"as read\"") { Hand = hand }]),
        ],
        [
            new("rack-gap", RelationKind.Gap, ["rack-left"], Dimension.Length, 3_175_000 + (n * 1000.0), 2_778_125, 3_571_875, 3_175_000, 151_000.25, 0.97, n == 3 ? Verdict.Outside : Verdict.Within),
            new("rack-level", RelationKind.Level, ["rack-left", "rack-right"], Dimension.Length, n * 1000.0, null, 396_875, null, 213_000, 0.9, Verdict.Within),
        ],
        n == 3 ? [new RecordAside("rack-gap", "rack-left", "=cmd: thread broke", At.AddDays(n))] : [],
        [], [], null, n != 3)
    {
        Hands = [hand],
    };

    /// <summary>Six records, an open sitting and one that was given up.</summary>
    public static void FillVaried(StorePaths paths)
    {
        Fill(paths, 6);
        using Store store = Work(paths);
        store.Append(At.AddDays(6), "s-open", "started", Started("s-open", "QG-001"));
        store.Append(At.AddDays(6), "s-given", "started", Started("s-given", "QG-002"));
        store.Append(At.AddDays(6), "s-given", "abandoned", """{"reason":"fetched"}""");
    }

    /// <summary>What the looking commands answer, as one text.</summary>
    public static string Answers(StorePaths paths)
    {
        using Store store = Look(paths);
        ReadinessRule rule = new(At.AddDays(10), 30, false);
        ILookup<string, RecordSummary> latest = store.Records.Latest().ToLookup(record => Core.Sittings.BlouseTag.Key(record.Tag));
        return string.Join('\n',
        [
            .. store.Records.Summaries(new()).Select(Line),
            .. store.Records.Summaries(new(Tag: "qg-001")).Select(Line),
            .. store.Records.OpenSittings().Select(sitting => sitting.ToString()),
            .. store.Records.Abandoned().Select(sitting => sitting.ToString()),
            .. latest.OrderBy(blouse => blouse.Key).Select(blouse => Readiness.Of(blouse.Key, [.. blouse], _ => [], null, rule)).Select(ready => $"{ready.Tag} {ready.Last?.Id} {ready.IsReady} {ready.AgeDays}"),
        ]);
        static string Line(RecordSummary record) => string.Join('|', [.. record.Items, .. record.Hands]) + (record with { Items = [], Hands = [] });
    }

    /// <summary>The acknowledged lines of a store.</summary>
    public static List<JournalLine> Lines(StorePaths paths)
    {
        using Journal journal = Journal.Open(paths, forWriting: false, Clock);
        return [.. journal.Read()];
    }

    /// <summary>Writes a segment with some lines edited and every hash made again, as anybody can; the signatures of before stay, or there are none.</summary>
    public static void Forge(string segment, IEnumerable<JournalLine> lines, Func<JournalLine, JournalLine> edit, byte[]? signed)
    {
        string[]? before = signed is null ? null : System.Text.Encoding.UTF8.GetString(signed).TrimEnd('\n').Split('\n');
        List<byte> bytes = [];
        string hash = JournalFormat.FirstHash;
        long number = 0;
        foreach (JournalLine line in lines.Select(edit))
        {
            byte[] made = JournalFormat.Write(++number, line.At, line.Sitting, line.Kind, line.Body, hash, out JournalLine written, before is null ? null : new Copied(before[line.Number - 1]));
            bytes.AddRange(made);
            hash = written.Hash;
        }

        System.IO.File.WriteAllBytes(segment, [.. bytes]);
    }

    /// <summary>Gives the signature that another line bears.</summary>
    private sealed class Copied(string line) : IRecordSigner
    {
        public string PublicKey => "";

        public string Id => "";

        public string Sign(ReadOnlySpan<byte> bytes) => line[(line.LastIndexOf("\"s\":\"", StringComparison.Ordinal) + 5)..][..88];
    }
}
