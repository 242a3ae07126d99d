using System.Text.Json;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Records;

/// <summary>Takes what a trend needs out of sealed records' bytes, many thousands in a row.</summary>
/// <remarks>
/// <para>Neither form nor seal is proven, so it is for bytes that are proven otherwise, as lines of a journal are by its chain and signatures.</para>
/// <para>Only sittings that are not for practice make a coat: a second measurement is of a coat that was counted.</para>
/// </remarks>
/// <param name="filter">What is wanted: others make no coat.</param>
public sealed class CoatsOfRecords(TrendFilter filter)
{
    private readonly RecordReader _reader = new();

    /// <summary>How many records were looked at.</summary>
    public long Seen { get; private set; }

    /// <summary>How many of them were for practice.</summary>
    public long Practice { get; private set; }

    /// <summary>How many bytes were no record.</summary>
    public long Unreadable { get; private set; }

    /// <summary>The coat of a sealed record; null for what makes none, or is not wanted.</summary>
    /// <param name="sealedRecord">The text of a sealed record, UTF-8.</param>
    public TrendCoat? Read(ReadOnlySpan<byte> sealedRecord)
    {
        Seen++;
        try
        {
            Record record = _reader.ReadSealed(sealedRecord);
            bool isPractice = record is { Kind: RecordKind.Sitting, IsPractice: true };
            Practice += isPractice ? 1 : 0;
            return record.Kind == RecordKind.Sitting && !isPractice && filter.Wants(record.Closed, record.Standard.Name) ? Of(record) : null;
        }
        catch (Exception fault) when (fault is JsonException or FormatException)
        {
            Unreadable++;
            return null;
        }
    }

    /// <summary>What a trend takes of a record.</summary>
    public static TrendCoat Of(Record record)
    {
        bool knows = record.Schema > Record.SecondSchema;
        HashSet<string> withdrawn = [.. record.Withdrawn.Select(withdrawal => withdrawal.Step)];
        HashSet<string> notRight = [.. withdrawn, .. record.Verdicts.Where(verdict => !IsWithin(verdict)).SelectMany(verdict => verdict.Steps)];
        Dictionary<string, RecordReading> readings = new(record.Readings.Count);
        foreach (RecordReading reading in record.Readings)
        {
            readings.TryAdd(reading.Step, reading);
        }

        HashSet<string> counted = [];
        List<TrendValue> values = new(record.Verdicts.Count);
        foreach (RecordVerdict verdict in record.Verdicts)
        {
            if (verdict.Dimension != Dimension.Length || verdict.Steps.Count == 0)
            {
                continue;
            }

            if (!verdict.Kind.JudgesEach)
            {
                if (Deviation(verdict, readings) is { } deviation)
                {
                    bool right = IsWithin(verdict) && !verdict.Steps.Any(withdrawn.Contains);
                    List<string?> hands = [.. verdict.Steps.Where(readings.ContainsKey).Select(step => HandOf(readings[step])).Distinct()];
                    values.Add(new(TrendOf.Rule, verdict.Relation, null, deviation, false, knows ? right : null, hands.Count == 1 ? hands[0] : null));
                }
            }
            else if (verdict.Steps.Count == 1 && readings.TryGetValue(verdict.Steps[0], out RecordReading? read) && Aim(verdict) is { } aim && counted.Add(read.Step))
            {
                values.Add(new(TrendOf.Step, read.Step, read.Of, verdict.Value - aim, read.Of != read.From, knows ? !notRight.Contains(read.Step) : null, HandOf(read)));
            }
        }

        int repins = record.Moves.Sum(move => move.Items.Count);
        bool coatRight = record.Asides.Count == 0 && repins == 0 && withdrawn.Count == 0 && record.Verdicts.All(IsWithin);
        return new TrendCoat(
            record.Id, record.Tag, record.Standard.Name, record.Standard.Edition, record.Standard.Sha256, record.Closed, First(record), knows ? coatRight : null, repins, HandOfAll(record), values);
    }

    private static bool IsWithin(RecordVerdict verdict) => verdict.Verdict == Judging.Verdict.Within;

    /// <summary>The nominal, or the middle of a range.</summary>
    private static double? Aim(RecordVerdict verdict) => verdict.Nominal ?? ((verdict.Lower + verdict.Upper) / 2);

    /// <summary>Of a rule over several steps its value less its aim; a spread is never negative and cannot drift both ways, so of two that are to be equal the difference stands for it.</summary>
    private static double? Deviation(RecordVerdict verdict, Dictionary<string, RecordReading> readings) =>
        !verdict.Kind.IsSpread ? verdict.Value - Aim(verdict)
        : verdict.Steps.Count == 2 && readings.TryGetValue(verdict.Steps[0], out RecordReading? one) && readings.TryGetValue(verdict.Steps[1], out RecordReading? other) ? Mean(one) - Mean(other)
        : null;

    private static double? Mean(RecordReading reading) => reading.Takes.Count > 0 ? reading.Takes.Average(take => (double)take.Value.Nanometres) : null;

    /// <summary>The one hand of a step's takes, as the last of them has it; null where there are several, or it is not said.</summary>
    private static string? HandOf(RecordReading reading) =>
        reading.Takes.Count > 0 && reading.Takes[^1].Hand is { Length: > 0 } hand && reading.Takes.All(take => Initials.Same(take.Hand, hand)) ? hand : null;

    /// <summary>The one hand of every reading, those withdrawn since too; or null.</summary>
    private static string? HandOfAll(Record record) =>
        record.Hands.Count > 0 ? (record.Hands.All(hand => Initials.Same(hand, record.Hands[0])) ? record.Hands[0] : null)
        : record.Hand.Length > 0 ? record.Hand : record.SignedBy;

    private static DateTimeOffset? First(Record record)
    {
        DateTimeOffset first = DateTimeOffset.MaxValue;
        foreach (RecordReading reading in record.Readings)
        {
            first = Earliest(reading.Takes, first);
        }

        foreach (RecordWithdrawal withdrawal in record.Withdrawn)
        {
            first = Earliest(withdrawal.Takes, first);
        }

        return first < DateTimeOffset.MaxValue ? first : null;
    }

    private static DateTimeOffset Earliest(IReadOnlyList<Readings.Reading> takes, DateTimeOffset first)
    {
        foreach (Readings.Reading take in takes)
        {
            first = take.At < first ? take.At : first;
        }

        return first;
    }
}
