using CaliperStation.Core.Readings;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

/// <summary>A caliper stepped on the test's own thread in pretend time, as a simulator does it.</summary>
internal sealed class SteppedCaliper(ICaliper caliper, FakeTimeProvider time)
{
    private static readonly TimeSpan _limit = TimeSpan.FromMinutes(10);

    private readonly Queue<CaliperEvent> _events = new();

    /// <summary>True once it said that nothing more is to come.</summary>
    internal bool HasEnded { get; private set; }

    /// <summary>The next event.</summary>
    internal CaliperEvent Next()
    {
        Until(() => _events.Count > 0);
        return _events.Dequeue();
    }

    /// <summary>The next event of a kind; others before it are passed over.</summary>
    internal T Next<T>() where T : CaliperEvent
    {
        while (true)
        {
            if (Next() is T wanted)
            {
                return wanted;
            }
        }
    }

    /// <summary>Steps until something holds.</summary>
    internal void Until(Func<bool> holds)
    {
        for (long began = time.GetTimestamp(); !holds(); Step())
        {
            Assert.True(time.GetElapsedTime(began) < _limit && !HasEnded, "It never happened.");
        }
    }

    /// <summary>Steps for so long; what it told meanwhile.</summary>
    internal IReadOnlyList<CaliperEvent> For(TimeSpan span)
    {
        long began = time.GetTimestamp();
        Until(() => HasEnded || time.GetElapsedTime(began) >= span);
        return Rest();
    }

    /// <summary>What it told and nobody took.</summary>
    internal IReadOnlyList<CaliperEvent> Rest()
    {
        CaliperEvent[] rest = [.. _events];
        _events.Clear();
        return rest;
    }

    private void Step()
    {
        TimeSpan rest = caliper.Step(_events.Enqueue);
        HasEnded = rest == Timeout.InfiniteTimeSpan;
        time.Advance(HasEnded || rest == TimeSpan.Zero ? TimeSpan.FromTicks(1) : rest);
    }
}
