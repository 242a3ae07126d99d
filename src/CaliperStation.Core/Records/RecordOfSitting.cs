using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>Where a new record comes in its chain.</summary>
/// <param name="Chain">The chain.</param>
/// <param name="Number">Its number.</param>
/// <param name="Previous">Hash of the record before it.</param>
public sealed record ChainPlace(string Chain, long Number, string Previous);

/// <summary>Makes the record of a signed sitting.</summary>
public static class RecordOfSitting
{
    /// <summary>The record.</summary>
    /// <param name="view">The sitting.</param>
    /// <param name="place">Where it comes in its chain.</param>
    /// <param name="events">The events of the journal it is made of; null where no journal is kept.</param>
    /// <exception cref="ArgumentException">The sitting is not signed.</exception>
    public static Record Make(SittingView view, ChainPlace place, RecordEvents? events = null)
    {
        SittingState state = view.State;
        SittingEvent.Signed signed = state.Signed ?? throw new ArgumentException("A sitting becomes a record by its signature.", nameof(view));
        Standard standard = state.Plan.Standard;
        return new Record(
            Record.CurrentSchema,
            place.Chain,
            place.Number,
            place.Previous,
            state.Started.Sitting,
            RecordKind.Sitting,
            null,
            state.Tag,
            state.Started.Hand,
            signed.Initials,
            new RecordStandard(Plain(standard.Name), Plain(standard.Edition), standard.Sha256),
            standard.Judging,
            state.Plan.Answers.ToDictionary(answer => Plain(answer.Key), answer => Plain(answer.Value)),
            state.Started.At,
            signed.At,
            [.. state.Plan.Steps
                .Where(step => state.Readings.GetValueOrDefault(step.Id) is { IsStale: false })
                .Select(step => new RecordReading(Plain(step.Id), Plain(step.Of), Plain(step.From), Takes(state, step.Id, signed.Initials)))],
            [.. view.Judgements.Select(Verdict)],
            Asides(state),
            [.. state.Moves.Select(move => new RecordMove([.. move.Items.Select(Plain)], move.At))],
            [],
            null,
            view.IsVerified && !state.IsPractice)
        {
            Hands = HandsOf(state, signed.Initials),
            Practice = state.IsPractice,
            Events = events,
            Confirmed = Answers(state.Confirmed),
            NotSo = Answers(state.NotSo),
            Withdrawn = Withdrawals(state, signed.Initials),
            TagCorrections = [.. state.TagCorrections.Select(correction => new RecordTagCorrection(Plain(correction.From), Plain(correction.Reason), correction.At))],
        };
    }

    /// <summary>The takes of a step; one whose hand was not said is the signer's.</summary>
    internal static IReadOnlyList<Reading> Takes(SittingState state, string step, string signer) =>
        Takes(state.Readings[step].Takes, signer);

    private static IReadOnlyList<Reading> Takes(IEnumerable<Reading> takes, string signer) =>
        [.. takes.Select(take => take with { Raw = Plain(take.Raw), Hand = take.Hand.Length > 0 ? take.Hand : signer })];

    /// <summary>What was gone on with though not within.</summary>
    internal static IReadOnlyList<RecordAside> Asides(SittingState state) =>
        [.. state.Asides.Select(aside => new RecordAside(Plain(aside.Relation), aside.Step is { } step ? Plain(step) : null, Plain(aside.Reason), aside.At))];

    /// <summary>What was answered to readiness lines and looks.</summary>
    internal static IReadOnlyList<RecordConfirmation> Answers(IEnumerable<LookNote> notes) => [.. notes.Select(note => new RecordConfirmation(Plain(note.Line), note.At))];

    /// <summary>The takes that no longer count.</summary>
    internal static IReadOnlyList<RecordWithdrawal> Withdrawals(SittingState state, string signer) =>
        [.. state.Withdrawn.Select(withdrawn => new RecordWithdrawal(Plain(withdrawn.Step), withdrawn.Moved, withdrawn.At, Takes(withdrawn.Takes, signer)))];

    /// <summary>Every hand that took a reading, each once whatever the case; the signer's when none was said.</summary>
    internal static IReadOnlyList<string> HandsOf(SittingState state, string signer) =>
        [.. state.Hands.Concat(state.Readings.Values.Any(readings => readings.Takes.Any(take => take.Hand.Length == 0)) ? [signer] : []).Distinct(StringComparer.OrdinalIgnoreCase)];

    /// <summary>A judgement as a record keeps it.</summary>
    public static RecordVerdict Verdict(Judgement judgement) => new(
        Plain(judgement.Relation.Id),
        judgement.Relation.Kind,
        [.. judgement.Steps.Select(Plain)],
        judgement.Dimension,
        judgement.Value,
        judgement.Lower,
        judgement.Upper,
        judgement.Limits.Nominal is { } nominal ? nominal.Nanometres : judgement.Limits.NominalNumber,
        judgement.Uncertainty,
        judgement.Conformance,
        judgement.Verdict)
    {
        Degrees = double.IsFinite(judgement.Degrees) ? (long)judgement.Degrees : null,
        LowerExcluded = judgement.Lower is not null && judgement.Limits.LowerExcluded,
        UpperExcluded = judgement.Upper is not null && judgement.Limits.UpperExcluded,
    };

    /// <summary>A record holds plain text only, so that it may be shown anywhere.</summary>
    private static string Plain(string text) => PrintableText.Escape(text);
}
