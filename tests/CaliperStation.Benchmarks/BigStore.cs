using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Storage;

namespace CaliperStation.Benchmarks;

/// <summary>Makes a big store of invented blouses: the same seed gives the same readings, only the key and so the signatures differ.</summary>
/// <remarks>
/// Every line is one the station itself would write and stands in the chain: started, the readings, signed, and the sealed record. Only the flush
/// after each line is left out, which would take an hour and change no byte.
/// </remarks>
internal sealed class BigStore(StorePaths paths, int seed) : IDisposable
{
    internal const int ReadingsInARecord = 20;
    internal const int Blouses = 1_000;
    private const int LinesInASitting = ReadingsInARecord + 3;
    private const string StandardText = """
        [standard]
        name = "Harbour guard, small"
        edition = "1"
        """;

    private static readonly DateTimeOffset _first = new(2025, 12, 1, 6, 0, 0, TimeSpan.Zero);
    private static readonly TimeSpan _between = TimeSpan.FromMinutes(10);   // 50 000 sittings take 347 days: twelve segments
    private static readonly string[] _hands = ["AB", "CD", "EF", "GH"];
    private static readonly string[] _items = ["rack", "badge", "plate", "device"];
    private static readonly JudgingSettings _judging = new(DecisionRule.Plain, 0.95, Length.HalfTick, Length.FromMicrometres(150), Length.FromMicrometres(20));
    private readonly Random _random = new(seed);
    private readonly string _sha256 = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(StandardText)));
    private FileStream? _segment;
    private string _hash = JournalFormat.FirstHash;
    private string _previous = Record.NoPrevious;
    private long _number;

    /// <summary>The tag of the n-th sitting's blouse.</summary>
    internal static string Tag(int n) => string.Create(CultureInfo.InvariantCulture, $"HG-{n % Blouses:0000}");

    /// <summary>Makes it; gives the bytes of its journal.</summary>
    internal long Make(int records)
    {
        paths.Create();
        using StationKey key = StationKey.Open(paths);
        for (int n = 0; n < records; n++)
        {
            Sitting(n, key);
        }

        _segment?.Flush();
        return Directory.GetFiles(paths.Journal).Sum(file => new FileInfo(file).Length);
    }

    public void Dispose() => _segment?.Dispose();

    private void Sitting(int n, StationKey key)
    {
        string id = string.Create(CultureInfo.InvariantCulture, $"s-{n:000000}");
        string tag = Tag(n);
        string hand = _hands[_random.Next(_hands.Length)];
        DateTimeOffset began = _first + (n * _between);
        Line(began, id, new SittingEvent.Started(id, tag, hand, _sha256, new Dictionary<string, string>()) { At = began });
        List<RecordReading> readings = [];
        List<RecordVerdict> verdicts = [];
        for (int step = 0; step < ReadingsInARecord; step++)
        {
            DateTimeOffset at = began.AddSeconds(10 * (step + 1)).AddMilliseconds(_random.Next(1_000));
            Reading reading = Reading(at) with { Hand = hand };
            string name = string.Create(CultureInfo.InvariantCulture, $"{_items[step % _items.Length]}-{step:00}");
            Line(at, id, new SittingEvent.Took(name, reading) { At = at });
            readings.Add(new(name, _items[step % _items.Length], "left-pocket", [reading]));
            verdicts.Add(Verdict(name, reading));
        }

        DateTimeOffset closed = began.AddSeconds(10 * (ReadingsInARecord + 2));
        Line(closed, id, new SittingEvent.Signed(hand) { At = closed });
        Record record = new(
            Record.CurrentSchema, key.Id, n + 1, _previous, id, RecordKind.Sitting, null, tag, hand, hand,
            new RecordStandard("Harbour guard, small", "1", _sha256), _judging, new Dictionary<string, string>(), began, closed,
            readings, verdicts, [], [], [], null, verdicts.TrueForAll(verdict => verdict.Verdict == Core.Judging.Verdict.Within))
        {
            Hands = [hand],
        };
        SealedRecord seal = SealedRecord.Seal(record, key);
        _previous = seal.Hash;
        Line(closed, id, RecordStore.Kind, seal.ToText());
    }

    private Reading Reading(DateTimeOffset at)
    {
        // a gap of 1/8 in on cloth, in the steps of an inch caliper of 0.0005 in; spread about half a tick
        Length value = Length.FromNanometres(12_700 * (250 + (long)Math.Round((_random.NextDouble() + _random.NextDouble() - 1) * 40)));
        string raw = string.Create(CultureInfo.InvariantCulture, $"{value.Nanometres / 25_400_000m:0.0000} in");
        return new(value, LengthUnit.Inch, Length.FromNanometres(12_700), ReadingSource.Serial, at, raw);
    }

    private static RecordVerdict Verdict(string step, Reading reading)
    {
        const double Nominal = 3_175_000;
        const double Within = 396_875;
        const double Uncertainty = 151_000.25;
        double off = reading.Value.Nanometres - Nominal;
        double conformance = Normal((Within - off) / Uncertainty) - Normal((-Within - off) / Uncertainty);
        return new($"{step}-gap", RelationKind.Gap, [step], Dimension.Length, reading.Value.Nanometres, Nominal - Within, Nominal + Within, Nominal, Uncertainty, conformance,
            Math.Abs(off) <= Within ? Core.Judging.Verdict.Within : Core.Judging.Verdict.Outside);
    }

    private static double Normal(double z) => MathNet.Numerics.Distributions.Normal.CDF(0, 1, z);

    private void Line(DateTimeOffset at, string sitting, SittingEvent happened) => Line(at, sitting, SittingEventJson.Kind(happened), SittingEventJson.Body(happened));

    private void Line(DateTimeOffset at, string sitting, string kind, string body)
    {
        string name = Path.Combine(paths.Journal, at.UtcDateTime.ToString("yyyy-MM'.jsonl'", CultureInfo.InvariantCulture));
        if (_number % LinesInASitting == 0 && _segment?.Name != name)
        {
            _segment?.Dispose();
            _segment = new FileStream(name, FileMode.CreateNew, FileAccess.Write, FileShare.Read, bufferSize: 1024 * 1024);
        }

        byte[] bytes = JournalFormat.Write(++_number, at, sitting, kind, body, _hash, out JournalLine line);
        _segment!.Write(bytes);
        _hash = line.Hash;
    }
}
