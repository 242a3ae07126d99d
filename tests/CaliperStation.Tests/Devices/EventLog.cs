using System.Threading.Channels;
using CaliperStation.Core.Readings;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

/// <summary>Keeps what a caliper on a thread of its own posts; waits for it within a limit.</summary>
internal sealed class EventLog
{
    private static readonly TimeSpan _limit = TimeSpan.FromSeconds(20);

    private readonly Channel<CaliperEvent> _events = Channel.CreateUnbounded<CaliperEvent>();

    internal void Post(CaliperEvent one) => Assert.True(_events.Writer.TryWrite(one));

    /// <summary>The next event of a kind, in real time; others before it are passed over.</summary>
    internal async Task<T> NextAsync<T>() where T : CaliperEvent
    {
        using CancellationTokenSource limit = new(_limit);
        while (true)
        {
            if (await _events.Reader.ReadAsync(limit.Token) is T wanted)
            {
                return wanted;
            }
        }
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
