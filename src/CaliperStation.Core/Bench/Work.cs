using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Bench;

/// <summary>What is worked on at the bench. All kinds have one shape: a view that says what is wanted, commands, and events.</summary>
public abstract record Work
{
    private Work()
    {
    }

    /// <summary>What was read and what is wanted.</summary>
    public abstract SittingView View { get; }

    /// <summary>The id its events are kept under.</summary>
    public string Id => View.State.Started.Sitting;

    /// <summary>What a command comes to. A refused one changes nothing.</summary>
    public abstract Decision Decide(SittingCommand command, DateTimeOffset at);

    /// <summary>The work after an event that it decided.</summary>
    public abstract Work After(SittingEvent happened);

    /// <summary>What is odd about a reading for a step in this kind of work alone, or null.</summary>
    public virtual PlausibilityWarning? Odd(Step step, Reading reading) => null;

    /// <summary>A blouse measured for its record.</summary>
    public sealed record Measuring(SittingView Sitting) : Work
    {
        /// <inheritdoc />
        public override SittingView View => Sitting;

        /// <inheritdoc />
        public override Decision Decide(SittingCommand command, DateTimeOffset at) => Sittings.Sitting.Decide(Sitting, command, at);

        /// <inheritdoc />
        public override Work After(SittingEvent happened) => new Measuring(SittingView.Of(Sittings.Sitting.Apply(Sitting.State, happened)));
    }

    /// <summary>Some steps of a record measured again, blind: a countersign or a recheck.</summary>
    public sealed record Remeasuring(Remeasurement Remeasurement) : Work
    {
        /// <inheritdoc />
        public override SittingView View { get; } = Remeasurement.View;

        /// <inheritdoc />
        public override Decision Decide(SittingCommand command, DateTimeOffset at) => Remeasurement.Decide(command, at);

        /// <inheritdoc />
        public override Work After(SittingEvent happened) =>
            new Remeasuring(Remeasurement.Apply(happened) ?? throw new ArgumentException("That event has no place in a remeasurement.", nameof(happened)));
    }

    /// <summary>A study of hands: each reads the same points several times, blind to what was read before.</summary>
    public sealed record Studying(StudySitting Study) : Work
    {
        /// <inheritdoc />
        public override SittingView View => Study.View;

        /// <inheritdoc />
        public override Decision Decide(SittingCommand command, DateTimeOffset at) => Study.Decide(command, at);

        /// <inheritdoc />
        public override Work After(SittingEvent happened) =>
            new Studying(Study.Apply(happened) ?? throw new ArgumentException("That event has no place in a study.", nameof(happened)));
    }

    /// <summary>A caliper tried on closed jaws and gauge blocks. Nothing of it is kept before its last point.</summary>
    public sealed record Checking : Work
    {
        private const string Blocks = "gauge blocks";

        /// <summary>An error larger than this is another block, or another unit, and is asked about.</summary>
        private static readonly Length Far = Length.Millimetre;

        /// <summary>What everybody is told before the first block.</summary>
        public const string Caution =
            "Handle blocks with gloves or clean pliers: they rust from bare fingers, and a dropped one is a hurt foot and a spoilt block. Wipe blocks and jaws with a clean cloth; mind the knife edges of the jaws.";

        private readonly CaliperCheck _asked;   // the points are what the blocks should show

        private Checking(CaliperCheck asked, SittingState state)
        {
            _asked = asked;
            IReadOnlyList<Step> missing = [.. state.Plan.Steps.Where(step => !state.Counts(step.Id))];
            View = SittingView.Unjudged(state, missing, missing.Count > 0 && state.Abandoned is null ? new Prompt.Read(missing[0], null) : new Prompt.Closed());
        }

        /// <inheritdoc />
        public override SittingView View { get; }

        /// <summary>The check as far as it was read.</summary>
        public CaliperCheck Check => _asked with { Points = [.. View.State.Plan.Steps.Where(step => View.State.Counts(step.Id)).Select(step => PointOf(step.Id))] };

        /// <summary>The steps of a check are called point-1, point-2, …</summary>
        public static string StepOf(int point) => FormattableString.Invariant($"point-{point + 1}");

        /// <summary>A check that begins.</summary>
        /// <param name="asked">What is asked for: its points should show their blocks. It has no <see cref="CaliperCheck.Fault"/>.</param>
        /// <param name="at">When, UTC.</param>
        public static Checking Begin(CaliperCheck asked, DateTimeOffset at)
        {
            Length permissible = asked.Permissible.Outside.Constant;
            Standard standard = new(
                "caliper check", "", LengthUnit.Millimetre, LengthDisplay.Millimetre, Sides.Viewer,
                new JudgingSettings(DecisionRule.Plain, 0.95, permissible, Length.Zero, permissible),
                [], [], [new Landmark(Blocks, null, null)], [],
                [.. asked.Points.Select((point, at) => new Step(StepOf(at), Blocks, Blocks, default, null, null, Ask(point), null, at == 0 ? Caution : null, null))], [], "");
            return new Checking(
                asked,
                Sittings.Sitting.Begin(Plan.For(standard, new Dictionary<string, string>()), new SittingEvent.Started("", "caliper", "", "", new Dictionary<string, string>()) { At = at }));
        }

        /// <summary>What the caliper should show at a step.</summary>
        public CheckPoint AskedAt(string step) => _asked.Points[View.State.Plan.Standard.Steps.ToList().FindIndex(each => each.Id == step)];

        /// <summary>A point that was read.</summary>
        public CheckPoint PointOf(string step) => AskedAt(step) with { Shown = View.State.Readings[step].Takes[^1].Value };

        /// <inheritdoc />
        public override Decision Decide(SittingCommand command, DateTimeOffset at) => command switch
        {
            // ISO 13385-1:2019, digital display: the permissible error is never smaller than the digital step.
            SittingCommand.Take { Reading.Resolution: var step } when step > _asked.Permissible.Outside.Constant =>
                Decision.Refused(RefusalKind.CoarseDisplay, $"one step of this display, {LengthFormat.ShowExact(step)}, is coarser than the permissible error"),
            SittingCommand.Take or SittingCommand.Retake => Sittings.Sitting.Decide(View, command, at),
            _ => Decision.Refused(RefusalKind.NotInThisWork, "say a length, an empty line to press, retake for the point before, or stop"),
        };

        /// <inheritdoc />
        public override Work After(SittingEvent happened) => new Checking(_asked, Sittings.Sitting.Apply(View.State, happened));

        /// <inheritdoc />
        public override PlausibilityWarning? Odd(Step step, Reading reading) => (AskedAt(step.Id) with { Shown = reading.Value }).Error.Abs() > Far
            ? new PlausibilityWarning(WarningKind.WrongBlock, $"{LengthFormat.Show(reading.Value, LengthDisplay.Millimetre)} is more than a millimetre off: is it this block, zero set with closed jaws, and the unit right?")
            : null;

        private static string Ask(CheckPoint point) => (point.Place, LengthFormat.ShowExact(point.Block)) switch
        {
            (CheckPlace.Near or CheckPlace.Far, _) when point.Block == Length.Zero => "Wipe the jaws, close them lightly, zero the caliper, open and close it once more, and read",
            (CheckPlace.Near, var block) => $"Read the block of {block}, near the root of the jaws, lightly, until the value rests",
            (CheckPlace.Far, var block) => $"Read the block of {block}, at the tips of the jaws, lightly, until the value rests",
            (CheckPlace.Inside, var block) => $"Read the ring or the gap of {block} with the inside jaws: the largest value across a ring, the smallest between flats",
            (CheckPlace.Depth, var block) => $"Read the step of {block} with the depth rod, the end of the beam square on the upper face",
            _ => throw new System.Diagnostics.UnreachableException(),
        };
    }
}
