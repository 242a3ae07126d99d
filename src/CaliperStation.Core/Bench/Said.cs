using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Bench;

/// <summary>What the bench tells. Lines, JSON, the screen and speech are made of it; nothing is found out by reading words.</summary>
public abstract record Said
{
    private Said()
    {
    }

    /// <summary>What is wanted now.</summary>
    public sealed record Asked(Want Want) : Said;

    /// <summary>A question about what this blouse carries, before the sitting begins.</summary>
    public sealed record Questioned(Question Question) : Said;

    /// <summary>A reading was taken and is on the disk.</summary>
    public sealed record Took(Step Step, Reading Reading, int Take, Length? ExpectedAfterMove) : Said;

    /// <summary>A verdict.</summary>
    public sealed record Judged(Standard Standard, Judgement Judgement) : Said;

    /// <summary>How to move one item.</summary>
    public sealed record Advised(Plan Plan, ItemMove Move) : Said;

    /// <summary>The readings do not fit one another, or the rules do not; in words.</summary>
    public sealed record Remarked(string Words) : Said;

    /// <summary>A line to see to before a remeasurement.</summary>
    public sealed record SeeTo(Look Line) : Said;

    /// <summary>Where one item lies; told before the signature.</summary>
    public sealed record Displaced(Plan Plan, ItemPose Pose) : Said;

    /// <summary>A readiness line or a look was answered yes.</summary>
    public sealed record Confirmed(string Line) : Said;

    /// <summary>A look was answered no.</summary>
    public sealed record NotSo(Look Look) : Said;

    /// <summary>What takes its time began; <paramref name="Until"/> is when it is over, UTC.</summary>
    public sealed record Begun(Look Look, DateTimeOffset Until) : Said;

    /// <summary>The time of a look is over.</summary>
    public sealed record TimeIsOver(Look Look) : Said;

    /// <summary>The readings of a step were withdrawn.</summary>
    public sealed record Withdrawn(Step Step) : Said;

    /// <summary>A readiness line or a look is asked again.</summary>
    public sealed record Unconfirmed(string Line) : Said;

    /// <summary>A pin was moved as advised; its item counts as moved when the last pin was.</summary>
    /// <param name="Plan">The plan.</param>
    /// <param name="Pin">Item and pin.</param>
    /// <param name="IsTakenBack">True when it was said too early.</param>
    public sealed record PinMoved(Plan Plan, AdvisedPin Pin, bool IsTakenBack) : Said;

    /// <summary>Items were moved; <paramref name="MakesStale"/> is false when nothing was read yet that hangs on them.</summary>
    public sealed record Moved(Plan Plan, IReadOnlyList<string> Items, bool MakesStale) : Said;

    /// <summary>Readings that no longer count.</summary>
    public sealed record Stale(Standard Standard, IReadOnlyList<string> Steps) : Said;

    /// <summary>Something was set aside.</summary>
    public sealed record SetAside(IReadOnlyList<string> Relations) : Said;

    /// <summary>It was not taken or not done, and why.</summary>
    public sealed record Refused(string Why) : Said;

    /// <summary>The caliper moves: the press waits until it rests.</summary>
    public sealed record HoldStill : Said;

    /// <summary>The press waits for a value: the caliper was asked, or its line is just opening.</summary>
    public sealed record Waits : Said;

    /// <summary>A reading looks odd and is not taken unless it is meant.</summary>
    public sealed record Warned(Step Step, Reading Reading, PlausibilityWarning Warning) : Said
    {
        /// <summary>What a number without a unit could be, each with its unit; empty where a yes is enough.</summary>
        public IReadOnlyList<string> Ways { get; init; } = [];
    }

    /// <summary>A tolerance that this bench cannot confirm.</summary>
    public sealed record Narrow(UnverifiableTolerance UnverifiableTolerance) : Said;

    /// <summary>The line of the caliper is not there.</summary>
    public sealed record Lost(LossKind Kind, string Words) : Said;

    /// <summary>The line of the caliper is there, for the first time after it was said to be lost, or again.</summary>
    public sealed record Back(bool Again) : Said;

    /// <summary>Something about the caliper.</summary>
    public sealed record Noted(NoteKind Kind, string Words) : Said;

    /// <summary>A frame that is no reading; told once for each kind.</summary>
    public sealed record BadFrame(FrameReason Kind, string Words, string Raw) : Said;

    /// <summary>What seems wrong with the caliper's line; null when it is right again.</summary>
    public sealed record Diagnosed(string? Words) : Said;

    /// <summary>Readings are pretended: what is filed is for practice.</summary>
    public sealed record Practice : Said;

    /// <summary>A sitting goes on.</summary>
    public sealed record Resumed(Resume Resume) : Said;

    /// <summary>Another hand measures from here on.</summary>
    public sealed record HandIs(string Hand) : Said;

    /// <summary>The tag was corrected.</summary>
    public sealed record TagIs(string Tag) : Said;

    /// <summary>The sitting was given up.</summary>
    public sealed record Abandoned(string Reason) : Said;

    /// <summary>A step against its first measurement; only after the signature.</summary>
    public sealed record Compared(Standard Standard, RecordKind Kind, RecordComparison Comparison) : Said;

    /// <summary>What the moved steps invalidate.</summary>
    public sealed record Invalidates(Standard Standard, Invalidated Invalidated) : Said;

    /// <summary>A reading of a study was taken and is on the disk. Lines and screen do not repeat its value: the next one is to be read without it in mind.</summary>
    public sealed record Kept(Step Step, Reading Reading) : Said;

    /// <summary>The hand that measures has read all of its part of a study.</summary>
    public sealed record StudyDone(StudySitting Study) : Said;

    /// <summary>A point of a caliper check was read.</summary>
    public sealed record Checked(Step Step, Reading Reading, CheckPoint Point, bool IsWithin) : Said;

    /// <summary>A caliper check is complete.</summary>
    /// <param name="Check">All of it.</param>
    /// <param name="Port">The caliper's port.</param>
    public sealed record CheckDone(CaliperCheck Check, string Port) : Said;

    /// <summary>The record is filed.</summary>
    public sealed record Closed(Standard Standard, Record Record, bool IsPractice, bool IsAllWithin) : Said
    {
        /// <summary>The record that a remeasurement looks back at; else null.</summary>
        public Record? First { get; init; }

        /// <summary>How the bench is left with it.</summary>
        public BenchEnd End => IsAllWithin ? BenchEnd.Good : BenchEnd.NotGood;
    }
}

/// <summary>What the bench wants next.</summary>
/// <param name="Prompt">Of the work; a reading that a move still needs stands here as one.</param>
/// <param name="At">The number of the reading, from 1; 0 when it is none.</param>
/// <param name="Of">How many readings there are.</param>
public sealed record Want(Prompt Prompt, int At, int Of)
{
    /// <summary>Judgements that are outside while a reading is wanted that their move still needs; else empty.</summary>
    public IReadOnlyList<Judgement> Outside { get; init; } = [];

    /// <summary>The sitting of an earlier day of which it is asked whether this is the same coat; else null.</summary>
    public Resume? SameCoat { get; init; }

    /// <summary>The odd reading that is asked about, or null.</summary>
    public Said.Warned? Warning { get; init; }

    /// <summary>The block between the jaws, when a caliper is checked; else null.</summary>
    public CheckPoint? Block { get; init; }

    /// <summary>The pin that is to be moved next, or null.</summary>
    public AdvisedPin? Pin { get; init; }

    /// <summary>The reason that is offered for setting aside, or null.</summary>
    public string? Reason { get; init; }

    /// <summary>How long the look still has to wait; null when it need not.</summary>
    public TimeSpan? Left { get; init; }

    /// <summary>The hand that would sign; empty when not known.</summary>
    public string Hand { get; init; } = "";

    /// <summary>True for work whose readings are judged as they come.</summary>
    public bool IsJudged { get; init; } = true;
}

/// <summary>A pin that is to be moved.</summary>
/// <param name="Item">The item.</param>
/// <param name="Move">How.</param>
/// <param name="At">Its number among the pins that are to be moved now, from 1.</param>
/// <param name="Of">How many those are.</param>
public sealed record AdvisedPin(string Item, PinMove Move, int At, int Of);

/// <summary>What is there of a sitting that goes on.</summary>
/// <param name="Tag">The blouse.</param>
/// <param name="Hands">Whose readings are there.</param>
/// <param name="Last">When something last happened in it, UTC.</param>
/// <param name="Readings">How many steps are read.</param>
/// <param name="IsEarlierDay">True when that was on an earlier day.</param>
/// <param name="StandardChanged">True when the standard has another text by now; it goes on with the old one.</param>
public sealed record Resume(string Tag, IReadOnlyList<string> Hands, DateTimeOffset Last, int Readings, bool IsEarlierDay, bool StandardChanged);
