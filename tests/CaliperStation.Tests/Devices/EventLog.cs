using System.Threading.Channels;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

/// <summary>Keeps what a caliper posts; waits for it within a limit.</summary>
internal sealed class EventLog
{
    private static readonly TimeSpan _limit = TimeSpan.FromSeconds(20);

    private readonly Channel<CaliperEvent> _events = Channel.CreateUnbounded<CaliperEvent>();

    internal void Post(CaliperEvent one) => Assert.True(_events.Writer.TryWrite(one));

    /// <summary>The next event, in real time.</summary>
    internal async Task<CaliperEvent> NextAsync()
    {
        using CancellationTokenSource limit = new(_limit);
        return await _events.Reader.ReadAsync(limit.Token);
    }

    /// <summary>The next event of a kind; others before it are passed over.</summary>
    internal async Task<T> NextAsync<T>() where T : CaliperEvent
    {
        while (true)
        {
            if (await NextAsync() is T wanted)
            {
                return wanted;
            }
        }
    }

    /// <summary>The next event while pretend time goes on in small steps.</summary>
    internal async Task<CaliperEvent> NextAsync(FakeTimeProvider time, TimeSpan step)
    {
        using CancellationTokenSource limit = new(_limit);
        CaliperEvent? one;
        while (!_events.Reader.TryRead(out one))
        {
            limit.Token.ThrowIfCancellationRequested();
            time.Advance(step);
            await Task.Yield();
        }

        return one;
    }

    internal IReadOnlyList<CaliperEvent> Rest()
    {
        List<CaliperEvent> rest = [];
        while (_events.Reader.TryRead(out CaliperEvent? one))
        {
            rest.Add(one);
        }

        return rest;
    }

    /// <summary>Lets pretend time go on until something holds.</summary>
    internal static async Task UntilAsync(Func<bool> holds, FakeTimeProvider time, TimeSpan step)
    {
        using CancellationTokenSource limit = new(_limit);
        while (!holds())
        {
            limit.Token.ThrowIfCancellationRequested();
            time.Advance(step);
            await Task.Yield();
        }
    }
}

/// <summary>Pretend time that remembers how long it was asked to wait.</summary>
internal sealed class RecordingTime : FakeTimeProvider
{
    private readonly List<TimeSpan> _waits = [];

    internal IReadOnlyList<TimeSpan> Waits
    {
        get
        {
            lock (_waits)
            {
                return [.. _waits];
            }
        }
    }

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        lock (_waits)
        {
            _waits.Add(dueTime);
        }

        return base.CreateTimer(callback, state, dueTime, period);
    }
}
