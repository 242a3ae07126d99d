using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Sittings;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Core.Tests.Records;

/// <summary>An invented coat's record and its remeasurement; whole numbers are micrometres.</summary>
internal static class RemeasurementSample
{
    internal static readonly DateTimeOffset At = new(2026, 3, 2, 9, 0, 0, TimeSpan.Zero);

    internal static Plan Plan { get; } = Coat.RackBadgeCord().Plan();

    /// <summary>A signed sitting by AB: rack left and right, badge, cord.</summary>
    internal static Record First(long left = 3000, long right = 3000, long badge = 3000, long cord = 3000) =>
        RecordOfSitting.Make(Coat.Ready().Take(left, right, badge, cord).Sign().View, new ChainPlace("0123456789abcdef", 1, Record.NoPrevious));

    internal static Remeasurement Begun(Record first, RecordKind kind, params string[] steps) => Remeasurement.Begin(Plan, new RemeasurementStarted(
        "s-2", kind, first.Id, first.Tag, "CD", first.Standard.Sha256, first.Answers, 7, 0.2, [.. steps.Select(step => new ChosenStep(step, "random"))], At));

    /// <summary>The same with these readings and the signature of CD.</summary>
    internal static Remeasurement Signed(Record first, RecordKind kind, params (string Step, long Value)[] readings)
    {
        Remeasurement second = Begun(first, kind, [.. readings.Select(reading => reading.Step)]);
        foreach ((_, long value) in readings)
        {
            second = Do(second, new SittingCommand.Take(SittingRun.Reading(value)));
        }

        return Do(second, new SittingCommand.Sign("CD"));
    }

    internal static Remeasurement Do(Remeasurement second, SittingCommand command)
    {
        Decision decision = second.Decide(command, At);
        Assert.Null(decision.Refusal);
        return decision.Events.Aggregate(second, (before, happened) => before.Apply(happened)!);
    }

    internal static Record Filed(Remeasurement second, Record first) => RecordOfRemeasurement.Make(second, first, new ChainPlace(first.Chain, 2, new string('b', 64)));
}
