using CaliperStation.Core.Judging;
using CaliperStation.Core.Sittings;

namespace CaliperStation.Core.Records;

/// <summary>What was done to a blouse.</summary>
public enum HistoryKind
{
    /// <summary>Worked through, from tag to signature.</summary>
    Measured,

    /// <summary>Measured again by a second hand, blind.</summary>
    Countersigned,

    /// <summary>Measured again after a touch-up.</summary>
    Rechecked,

    /// <summary>A sitting that is not closed yet.</summary>
    Open,
}

/// <summary>One step against the newest record before that read the same thing.</summary>
/// <param name="Step">The step.</param>
/// <param name="Since">The id of that record.</param>
/// <param name="BeforeNanometres">What that record says.</param>
/// <param name="NowNanometres">What is read now.</param>
/// <param name="En">The difference over its expanded uncertainty (<see cref="Agreement"/>); null where neither has any uncertainty.</param>
/// <param name="Agrees">False when it moved: the bench can tell the two apart.</param>
public sealed record HistoryChange(string Step, string Since, double BeforeNanometres, double NowNanometres, double? En, bool Agrees);

/// <summary>A record of a blouse, or its open sitting, in the blouse's history.</summary>
/// <param name="Kind">What was done.</param>
/// <param name="Id">The record's id; of an open sitting the sitting's.</param>
/// <param name="OfRecord">The record it looks back at, or null.</param>
/// <param name="Tag">The blouse, as last corrected.</param>
/// <param name="Started">When it began.</param>
/// <param name="Closed">When it was signed; null while it is open.</param>
/// <param name="Hands">Every hand that measured.</param>
/// <param name="SignedBy">Who signed; empty while it is open.</param>
/// <param name="Standard">The exact text it was judged by.</param>
/// <param name="Verdicts">What was said of it; of a second measurement none.</param>
/// <param name="Asides">What was set aside, with the reason.</param>
/// <param name="Compared">For a second measurement, each step against the record it looks back at.</param>
/// <param name="Practice">It is for practice.</param>
/// <param name="Verified">It is verified, and its signature counts here.</param>
/// <param name="Withdrawn">Takes that no longer count, in the order in which they ceased to.</param>
/// <param name="Repins">Moves of items, in order.</param>
/// <param name="TagCorrections">How the tag was corrected.</param>
/// <param name="NotSo">Every no to a look, in order.</param>
/// <param name="Changes">Each step that a record before read too, in the order of work; none in a practice record.</param>
public sealed record HistoryEntry(
    HistoryKind Kind,
    string Id,
    string? OfRecord,
    string Tag,
    DateTimeOffset Started,
    DateTimeOffset? Closed,
    IReadOnlyList<string> Hands,
    string SignedBy,
    RecordStandard Standard,
    IReadOnlyList<RecordVerdict> Verdicts,
    IReadOnlyList<RecordAside> Asides,
    IReadOnlyList<RecordComparison> Compared,
    bool Practice,
    bool Verified,
    IReadOnlyList<RecordWithdrawal> Withdrawn,
    IReadOnlyList<RecordMove> Repins,
    IReadOnlyList<RecordTagCorrection> TagCorrections,
    IReadOnlyList<RecordConfirmation> NotSo,
    IReadOnlyList<HistoryChange> Changes)
{
    /// <summary>How many verdicts are this.</summary>
    public int Count(Verdict verdict) => Verdicts.Count(given => given.Verdict == verdict);
}

/// <summary>A blouse over time.</summary>
/// <remarks>
/// A step is compared with the newest record before that read the same thing: the same step of a standard of the same name, on the same item and from the same lower one.
/// What was only practised says nothing of the coat, so nothing is compared with it, nor it with anything.
/// </remarks>
public static class BlouseHistory
{
    private sealed record Seen(string Record, string Standard, string Of, string From, Measured Value);

    /// <summary>Its records in the order they were filed, and the open sitting behind them.</summary>
    /// <param name="records">The blouse's records in the order they were filed, of every kind.</param>
    /// <param name="knownKeys">Public keys whose signatures count, base64.</param>
    /// <param name="open">Its open sitting, or null.</param>
    /// <exception cref="ArgumentException">Bytes of <paramref name="records"/> are no record.</exception>
    public static IReadOnlyList<HistoryEntry> Of(IEnumerable<SealedRecord> records, IReadOnlySet<string> knownKeys, SittingView? open = null)
    {
        Dictionary<string, Seen> last = [];
        List<HistoryEntry> entries = [];
        foreach (SealedRecord seal in records)
        {
            bool verified = RecordSummary.Of(seal, knownKeys).Verified;
            Record record = seal.Record!;
            List<(string Step, Seen Seen)> read = [.. record.Readings.Select(reading =>
                (reading.Step, new Seen(record.Id, record.Standard.Name, reading.Of, reading.From, Agreement.Measured(record, reading))))];
            entries.Add(new HistoryEntry(
                KindOf(record.Kind), record.Id, record.OfRecord, record.Tag, record.Started, record.Closed, Hands(record.Hands, record.Hand), record.SignedBy, record.Standard,
                record.Verdicts, record.Asides, record.Comparisons, record.IsPractice, verified,
                record.Withdrawn, record.Moves, record.TagCorrections, record.NotSo, Changes(last, read, record.IsPractice)));
        }

        if (open is not null)
        {
            entries.Add(Of(open, last));
        }

        return entries;
    }

    private static HistoryEntry Of(SittingView open, Dictionary<string, Seen> last)
    {
        SittingState state = open.State;
        Standards.Standard standard = state.Plan.Standard;
        List<(string Step, Seen Seen)> read = [.. state.Plan.Steps
            .Where(step => state.Counts(step.Id))
            .Select(step => (step.Id, new Seen(state.Started.Sitting, standard.Name, step.Of, step.From, state.Measured(step.Id)!.Value)))];
        return new HistoryEntry(
            HistoryKind.Open, state.Started.Sitting, null, state.Tag, state.Started.At, null, Hands([.. state.Hands], state.Hand), "",
            new RecordStandard(standard.Name, standard.Edition, standard.Sha256),
            [.. open.Judgements.Select(RecordOfSitting.Verdict)], RecordOfSitting.Asides(state), [], state.IsPractice, false,
            RecordOfSitting.Withdrawals(state, state.Hand), [.. state.Moves.Select(move => new RecordMove([.. move.Items], move.At))],
            [.. state.TagCorrections.Select(correction => new RecordTagCorrection(correction.From, correction.Reason, correction.At))],
            RecordOfSitting.Answers(state.NotSo), Changes(last, read, state.IsPractice));
    }

    private static List<HistoryChange> Changes(Dictionary<string, Seen> last, List<(string Step, Seen Seen)> read, bool practice)
    {
        List<HistoryChange> changes = [];
        foreach ((string step, Seen now) in practice ? [] : read)
        {
            if (last.TryGetValue(step, out Seen? before) && (before.Standard, before.Of, before.From) == (now.Standard, now.Of, now.From))
            {
                RecordComparison compared = Agreement.Compare(new ChosenStep(step, ""), before.Value, now.Value);
                double? en = double.IsFinite(compared.En) ? compared.En : null;
                changes.Add(new(step, before.Record, compared.FirstNanometres, compared.SecondNanometres, en, en is null ? before.Value.Value == now.Value.Value : compared.Agrees));
            }

            last[step] = now;
        }

        return changes;
    }

    private static IReadOnlyList<string> Hands(IReadOnlyList<string> hands, string first) => hands.Count > 0 || first.Length == 0 ? hands : [first];

    private static HistoryKind KindOf(RecordKind kind) => kind switch
    {
        RecordKind.Sitting => HistoryKind.Measured,
        RecordKind.Countersign => HistoryKind.Countersigned,
        RecordKind.Recheck => HistoryKind.Rechecked,
    };
}
