using CaliperStation.Core.Judging;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Records;

/// <summary>What a record is of.</summary>
public enum RecordKind
{
    /// <summary>One blouse worked through, from tag to signature.</summary>
    Sitting,

    /// <summary>A second hand's blind measurement of another record's blouse.</summary>
    Countersign,

    /// <summary>A measurement after a touch-up, against another record.</summary>
    Recheck,
}

/// <summary>A closed sitting: unchangeable once sealed. It holds a tag and initials, no names.</summary>
/// <param name="Schema">The form of its bytes, 1 to 3. Schema 2 has the hand of each take, all hands, practice and corrected tags; schema 3 the events it was made of, what was confirmed and what was withdrawn.</param>
/// <param name="Chain">The chain it belongs to: the id of the key that signed the chain's first record.</param>
/// <param name="Number">Its place in the chain, from 1.</param>
/// <param name="Previous">SHA-256 of the bytes of the record before it in the chain, lower-case hexadecimal; 64 zeros for the first.</param>
/// <param name="Id">Its id: the sitting's.</param>
/// <param name="Kind">What it is of.</param>
/// <param name="OfRecord">For a countersign or a recheck, the record it looks back at; else null.</param>
/// <param name="Tag">The blouse, as last corrected.</param>
/// <param name="Hand">Initials of the hand that measured first; may be empty. <paramref name="Readings"/> say whose each take is.</param>
/// <param name="SignedBy">Initials of the hand that signed.</param>
/// <param name="Standard">The exact text it was judged by.</param>
/// <param name="Judging">The settings it was judged with.</param>
/// <param name="Answers">What the blouse carries, by question.</param>
/// <param name="Started">When the sitting began, UTC, to the millisecond.</param>
/// <param name="Closed">When it was signed, UTC, to the millisecond.</param>
/// <param name="Readings">The readings that count, in the order of work.</param>
/// <param name="Verdicts">What was said of them.</param>
/// <param name="Asides">What was gone on with though not within.</param>
/// <param name="Moves">Every move of items in the sitting.</param>
/// <param name="Comparisons">For a countersign or a recheck, each step against the other record; else empty.</param>
/// <param name="Seed">The seed that chose the random share of a countersign's steps, or null.</param>
/// <param name="Verified">What the record says of itself: every verdict was within and nothing was set aside; for a countersign or a recheck, every step agrees. What counts is <see cref="IsVerified"/>.</param>
public sealed record Record(
    int Schema,
    string Chain,
    long Number,
    string Previous,
    string Id,
    RecordKind Kind,
    string? OfRecord,
    string Tag,
    string Hand,
    string SignedBy,
    RecordStandard Standard,
    JudgingSettings Judging,
    IReadOnlyDictionary<string, string> Answers,
    DateTimeOffset Started,
    DateTimeOffset Closed,
    IReadOnlyList<RecordReading> Readings,
    IReadOnlyList<RecordVerdict> Verdicts,
    IReadOnlyList<RecordAside> Asides,
    IReadOnlyList<RecordMove> Moves,
    IReadOnlyList<RecordComparison> Comparisons,
    long? Seed,
    bool Verified)
{
    /// <summary>The form that is written now.</summary>
    public const int CurrentSchema = 3;

    /// <summary>The form that did not say of which events it was made, nor what was withdrawn.</summary>
    public const int SecondSchema = 2;

    /// <summary>The form that had one hand for all takes.</summary>
    public const int FirstSchema = 1;

    /// <summary>What stands as the previous record's hash in the first record of a chain.</summary>
    public static string NoPrevious { get; } = new('0', 64);

    /// <summary>Initials of every hand that took a reading, also one withdrawn or stale since; each once, whatever the case. In schema 1 one hand took all.</summary>
    public IReadOnlyList<string> Hands { get; init; } = [];

    /// <summary>What the record says of itself: it is for practice. What counts is <see cref="IsPractice"/>.</summary>
    public bool Practice { get; init; }

    /// <summary>How the tag was corrected in the sitting, in order; empty in schema 1.</summary>
    public IReadOnlyList<RecordTagCorrection> TagCorrections { get; init; } = [];

    /// <summary>The first and the last event of the journal that it was made of; null before schema 3, and where no journal was kept.</summary>
    public RecordEvents? Events { get; init; }

    /// <summary>Readiness lines and looks that were answered yes, in order; empty before schema 3.</summary>
    public IReadOnlyList<RecordConfirmation> Confirmed { get; init; } = [];

    /// <summary>Every no to a look on the way, in order.</summary>
    public IReadOnlyList<RecordConfirmation> NotSo { get; init; } = [];

    /// <summary>Takes that no longer count, in the order in which they ceased to; empty before schema 3.</summary>
    public IReadOnlyList<RecordWithdrawal> Withdrawn { get; init; } = [];

    /// <summary>True for a practice record: it says so, or holds a reading that no person took, whatever it says. It is never verified, and no blouse is ready by it.</summary>
    public bool IsPractice => Practice || Readings.SelectMany(reading => reading.Takes).Concat(Withdrawn.SelectMany(withdrawal => withdrawal.Takes)).Any(take => take.IsPretended);

    /// <summary>True when it says that it is verified and is not for practice.</summary>
    public bool IsVerified => Verified && !IsPractice;

    /// <summary>What it says that cannot be true beside something else it says; null when nothing.</summary>
    public string? Contradiction =>
        Closed < Started ? "it ends before it begins"
        : Verdicts.Any(verdict => verdict.IsWithinAgainstItsLimits) ? "a verdict of it is within, and its value is beyond its limits"
        : Comparisons.Any(comparison => comparison.Agrees != comparison.En <= 1) ? "a comparison of it agrees, or not, against its own figure"
        : Verified && Asides.Count > 0 ? "it is called verified, and something was set aside"
        : Verified && Verdicts.Any(verdict => verdict.Verdict != Verdict.Within) ? "it is called verified, and a verdict of it is not within"
        : Verified && !Agrees ? "it is called verified, and a step measured again does not agree"
        : null;

    /// <summary>True when every step measured again agrees with the record looked back at; true when there is none.</summary>
    public bool Agrees => Comparisons.All(comparison => comparison.Agrees);
}

/// <summary>The standard a record was judged by.</summary>
public sealed record RecordStandard(string Name, string Edition, string Sha256);

/// <summary>The readings of one step.</summary>
/// <param name="Step">The step.</param>
/// <param name="Of">The item it is read on.</param>
/// <param name="From">What it is read from: an item or a landmark.</param>
/// <param name="Takes">One or more readings; their mean counts.</param>
public sealed record RecordReading(string Step, string Of, string From, IReadOnlyList<Reading> Takes);

/// <summary>A verdict; numbers are nanometres, milliradians or plain, by <paramref name="Dimension"/>, all finite.</summary>
/// <param name="Relation">The rule.</param>
/// <param name="Kind">What it computes.</param>
/// <param name="Steps">The steps it was computed from.</param>
/// <param name="Dimension">The unit of the numbers.</param>
/// <param name="Value">The value; for a mean of takes the nearest floating number, the takes have it exactly.</param>
/// <param name="Lower">Lower limit, or null.</param>
/// <param name="Upper">Upper limit, or null.</param>
/// <param name="Nominal">The value aimed at, or null.</param>
/// <param name="Uncertainty">Combined standard uncertainty.</param>
/// <param name="Conformance">Conformance probability, 0 to 1.</param>
/// <param name="Verdict">The verdict.</param>
public sealed record RecordVerdict(
    string Relation,
    RelationKind Kind,
    IReadOnlyList<string> Steps,
    Dimension Dimension,
    double Value,
    double? Lower,
    double? Upper,
    double? Nominal,
    double Uncertainty,
    double Conformance,
    Verdict Verdict)
{
    private const double RoundingOfLimits = 1e-12;   // relative; a limit of an angle or a share is itself rounded

    /// <summary>True when it is called within though its value is beyond a limit.</summary>
    public bool IsWithinAgainstItsLimits => Verdict == Verdict.Within
        && (Value < Lower - (Math.Abs(Value) * RoundingOfLimits) || Value > Upper + (Math.Abs(Value) * RoundingOfLimits));

    /// <summary>Degrees of freedom of the uncertainty, whole; null where no study of hands is in it.</summary>
    public long? Degrees { get; init; }

    /// <summary>True when the lower limit itself was not allowed.</summary>
    public bool LowerExcluded { get; init; }

    /// <summary>True when the upper limit itself was not allowed.</summary>
    public bool UpperExcluded { get; init; }
}

/// <summary>A judgement set aside; <paramref name="Step"/> is null when it is over several readings.</summary>
public sealed record RecordAside(string Relation, string? Step, string Reason, DateTimeOffset At);

/// <summary>The tag was corrected: <paramref name="From"/> was the wrong one.</summary>
public sealed record RecordTagCorrection(string From, string Reason, DateTimeOffset At);

/// <summary>An event of the journal.</summary>
/// <param name="Number">Its number, from 1.</param>
/// <param name="Hash">Its hash, 64 lower-case hexadecimal digits: it stands for every event up to this one.</param>
public sealed record EventMark(long Number, string Hash);

/// <summary>The events that a record was made of: those between, of the same sitting, too.</summary>
public sealed record RecordEvents(EventMark First, EventMark Last);

/// <summary>A readiness line or a look was answered.</summary>
public sealed record RecordConfirmation(string Line, DateTimeOffset At);

/// <summary>Takes of a step that no longer count.</summary>
/// <param name="Step">The step.</param>
/// <param name="Moved">True when an item they depend on was moved; false when they were withdrawn to be taken again.</param>
/// <param name="At">When.</param>
/// <param name="Takes">The takes, in order.</param>
public sealed record RecordWithdrawal(string Step, bool Moved, DateTimeOffset At, IReadOnlyList<Reading> Takes);

/// <summary>Items moved.</summary>
public sealed record RecordMove(IReadOnlyList<string> Items, DateTimeOffset At);

/// <summary>One step measured again.</summary>
/// <param name="Step">The step.</param>
/// <param name="Why">Why it was chosen, a word: <c>carries</c>, <c>close</c>, <c>random</c>, <c>moved</c>.</param>
/// <param name="FirstNanometres">What the other record says.</param>
/// <param name="SecondNanometres">What this one says.</param>
/// <param name="En">|first − second| / √(U₁² + U₂²), ISO 13528.</param>
/// <param name="Agrees">True when En is at most 1.</param>
public sealed record RecordComparison(string Step, string Why, double FirstNanometres, double SecondNanometres, double En, bool Agrees);
