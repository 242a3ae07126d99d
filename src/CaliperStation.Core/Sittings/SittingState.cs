using System.Collections.Immutable;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Sittings;

/// <summary>The readings of one step.</summary>
/// <param name="Takes">One or more; the value is their mean.</param>
/// <param name="IsStale">True when an item they depend on was moved since: they no longer count.</param>
public sealed record StepReadings(ImmutableArray<Reading> Takes, bool IsStale)
{
    /// <summary>The mean with its uncertainty.</summary>
    public Measured Measured(JudgingSettings settings) => Budget(settings).Measure(ExactLength.Mean([.. Takes.Select(take => take.Value)]));

    /// <summary>What the uncertainty is made of; of takes read on different rules the coarsest counts.</summary>
    public Budget Budget(JudgingSettings settings) => Judging.Budget.Of(settings, Takes.Max(take => take.Resolution), [.. Takes.Select(take => take.Hand)]);

    /// <inheritdoc />
    public bool Equals(StepReadings? other) => other is not null && IsStale == other.IsStale && Takes.SequenceEqual(other.Takes);

    /// <inheritdoc />
    public override int GetHashCode() => HashCode.Combine(IsStale, Takes.Length);
}

/// <summary>A judgement set aside.</summary>
public sealed record AsideNote(string Relation, string? Step, string Reason, DateTimeOffset At);

/// <summary>A tag corrected; <paramref name="From"/> was the wrong one.</summary>
public sealed record TagNote(string From, string Reason, DateTimeOffset At);

/// <summary>Items moved.</summary>
public sealed record MoveNote(ImmutableArray<string> Items, DateTimeOffset At)
{
    /// <inheritdoc />
    public bool Equals(MoveNote? other) => other is not null && At == other.At && Items.SequenceEqual(other.Items);

    /// <inheritdoc />
    public override int GetHashCode() => HashCode.Combine(At, Items.Length);
}

/// <summary>What was answered to a readiness line or a look, and when; or when its time began.</summary>
public sealed record LookNote(string Line, DateTimeOffset At);

/// <summary>Takes that no longer count.</summary>
/// <param name="Step">The step.</param>
/// <param name="Moved">True when an item they depend on was moved; false when they were withdrawn to be taken again.</param>
/// <param name="At">When they ceased to count.</param>
/// <param name="Takes">The takes, in order.</param>
public sealed record WithdrawnNote(string Step, bool Moved, DateTimeOffset At, ImmutableArray<Reading> Takes)
{
    /// <inheritdoc />
    public bool Equals(WithdrawnNote? other) => other is not null && Step == other.Step && Moved == other.Moved && At == other.At && Takes.SequenceEqual(other.Takes);

    /// <inheritdoc />
    public override int GetHashCode() => HashCode.Combine(Step, Moved, At, Takes.Length);
}

/// <summary>A sitting as its events have made it. Immutable; two states made by the same events are equal.</summary>
public sealed class SittingState : IEquatable<SittingState>
{
    internal SittingState(Plan plan, SittingEvent.Started started)
    {
        Plan = plan;
        Started = started;
        Tag = started.Tag;
        Hand = started.Hand;
    }

    private SittingState(SittingState before)
    {
        Plan = before.Plan;
        Started = before.Started;
        Tag = before.Tag;
        TagCorrections = before.TagCorrections;
        Hand = before.Hand;
        Hands = before.Hands;
        IsPractice = before.IsPractice;
        Abandoned = before.Abandoned;
        Confirmed = before.Confirmed;
        NotSo = before.NotSo;
        StandingNo = before.StandingNo;
        Begun = before.Begun;
        Readings = before.Readings;
        Withdrawn = before.Withdrawn;
        History = before.History;
        Asides = before.Asides;
        Moves = before.Moves;
        Signed = before.Signed;
    }

    /// <summary>What is to be done.</summary>
    public Plan Plan { get; }

    /// <summary>How it began.</summary>
    public SittingEvent.Started Started { get; }

    /// <summary>The blouse, as last corrected.</summary>
    public string Tag { get; init; }

    /// <summary>Every correction of the tag, in order.</summary>
    public ImmutableList<TagNote> TagCorrections { get; init; } = [];

    /// <summary>The hand that measures now; empty when not said.</summary>
    public string Hand { get; init; }

    /// <summary>Every hand that took a reading, those withdrawn or stale since too.</summary>
    public ImmutableSortedSet<string> Hands { get; init; } = ImmutableSortedSet.Create<string>(StringComparer.Ordinal);

    /// <summary>True once a pretended reading was taken, and for good: the record is for practice.</summary>
    public bool IsPractice { get; init; }

    /// <summary>How it was given up; the sitting is closed when it is there.</summary>
    public SittingEvent.Abandoned? Abandoned { get; init; }

    /// <summary>Readiness lines and looks that were answered yes, in order; without the looks at an item that was moved since.</summary>
    public ImmutableList<LookNote> Confirmed { get; init; } = [];

    /// <summary>Every no to a look, in order.</summary>
    public ImmutableList<LookNote> NotSo { get; init; } = [];

    /// <summary>The look whose last answer was no and that was neither moved nor set aside since; empty for none.</summary>
    public string StandingNo { get; init; } = "";

    /// <summary>What takes its time and began, in order.</summary>
    public ImmutableList<LookNote> Begun { get; init; } = [];

    /// <summary>Readings by step, stale ones too.</summary>
    public ImmutableDictionary<string, StepReadings> Readings { get; init; } = ImmutableDictionary<string, StepReadings>.Empty;

    /// <summary>Every take that no longer counts, in the order in which they ceased to.</summary>
    public ImmutableList<WithdrawnNote> Withdrawn { get; init; } = [];

    /// <summary>Steps in the order they were last read, those withdrawn or stale left out.</summary>
    public ImmutableList<string> History { get; init; } = [];

    /// <summary>Judgements set aside that still stand.</summary>
    public ImmutableList<AsideNote> Asides { get; init; } = [];

    /// <summary>Every move, in order.</summary>
    public ImmutableList<MoveNote> Moves { get; init; } = [];

    /// <summary>The signature; the sitting is closed when it is there.</summary>
    public SittingEvent.Signed? Signed { get; init; }

    /// <summary>What a step was read as, or null when it was not or is stale.</summary>
    public Measured? Measured(string step) => Readings.GetValueOrDefault(step) is { IsStale: false } readings ? readings.Measured(Plan.Standard.Judging) : null;

    /// <summary>True when that readiness line or look was answered yes.</summary>
    public bool IsConfirmed(string line) => Confirmed.Any(confirmed => confirmed.Line == line);

    /// <summary>True when it was answered yes or set aside.</summary>
    public bool IsSettled(string look) => IsConfirmed(look) || Asides.Any(aside => aside.Relation == look);

    /// <summary>When its time began, UTC; null when it did not.</summary>
    public DateTimeOffset? BegunAt(string look) => Begun.FindLast(begun => begun.Line == look)?.At;

    /// <summary>True when the last answer to that look was no.</summary>
    public bool IsNot(string look) => StandingNo == look;

    /// <summary>True when a step has a reading that is not stale.</summary>
    public bool Counts(string step) => Readings.GetValueOrDefault(step) is { IsStale: false };

    internal SittingState With(
        ImmutableList<LookNote>? confirmed = null,
        ImmutableList<LookNote>? notSo = null,
        string? standingNo = null,
        ImmutableList<LookNote>? begun = null,
        ImmutableDictionary<string, StepReadings>? readings = null,
        ImmutableList<WithdrawnNote>? withdrawn = null,
        ImmutableList<string>? history = null,
        ImmutableList<AsideNote>? asides = null,
        ImmutableList<MoveNote>? moves = null,
        SittingEvent.Signed? signed = null,
        string? tag = null,
        ImmutableList<TagNote>? tagCorrections = null,
        string? hand = null,
        ImmutableSortedSet<string>? hands = null,
        bool? practice = null,
        SittingEvent.Abandoned? abandoned = null) => new(this)
        {
            Tag = tag ?? Tag,
            TagCorrections = tagCorrections ?? TagCorrections,
            Hand = hand ?? Hand,
            Hands = hands ?? Hands,
            IsPractice = practice ?? IsPractice,
            Abandoned = abandoned ?? Abandoned,
            Confirmed = confirmed ?? Confirmed,
            NotSo = notSo ?? NotSo,
            StandingNo = standingNo ?? StandingNo,
            Begun = begun ?? Begun,
            Readings = readings ?? Readings,
            Withdrawn = withdrawn ?? Withdrawn,
            History = history ?? History,
            Asides = asides ?? Asides,
            Moves = moves ?? Moves,
            Signed = signed ?? Signed,
        };

    /// <inheritdoc />
    public bool Equals(SittingState? other) => other is not null
        && Started.Sitting == other.Started.Sitting
        && Started.At == other.Started.At
        && Started.Tag == other.Started.Tag
        && Started.Hand == other.Started.Hand
        && Tag == other.Tag
        && TagCorrections.SequenceEqual(other.TagCorrections)
        && Hand == other.Hand
        && Hands.SetEquals(other.Hands)
        && IsPractice == other.IsPractice
        && Equals(Abandoned, other.Abandoned)
        && Plan.Standard.Sha256 == other.Plan.Standard.Sha256
        && Plan.Answers.OrderBy(a => a.Key).SequenceEqual(other.Plan.Answers.OrderBy(a => a.Key))
        && Confirmed.SequenceEqual(other.Confirmed)
        && NotSo.SequenceEqual(other.NotSo)
        && StandingNo == other.StandingNo
        && Begun.SequenceEqual(other.Begun)
        && Withdrawn.SequenceEqual(other.Withdrawn)
        && Readings.Count == other.Readings.Count
        && Readings.All(pair => pair.Value.Equals(other.Readings.GetValueOrDefault(pair.Key)))
        && History.SequenceEqual(other.History)
        && Asides.SequenceEqual(other.Asides)
        && Moves.SequenceEqual(other.Moves)
        && Equals(Signed, other.Signed);

    /// <inheritdoc />
    public override bool Equals(object? obj) => Equals(obj as SittingState);

    /// <inheritdoc />
    public override int GetHashCode() => HashCode.Combine(Started.Sitting, Confirmed.Count, Readings.Count, History.Count, Signed);
}
