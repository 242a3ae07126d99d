using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>A caliper the bench listens to: a serial port, a capture played back, or the built-in emulator.</summary>
/// <remarks>
/// It has no thread and waits for nothing: <see cref="Step"/> does what is due by the bench's time and says how long to rest. One thread steps and closes it;
/// <see cref="CaliperThread.RunAsync"/> is that thread, a simulator steps it itself.
/// </remarks>
internal interface ICaliper
{
    /// <summary>What to call it on the screen, without control characters: <c>/dev/serial/by-id/…</c>, <c>emulated caliper</c>.</summary>
    string Name { get; }

    /// <summary>The source its readings are filed under.</summary>
    ReadingSource Source { get; }

    /// <summary>True for one that answers requests.</summary>
    bool Asks { get; }

    /// <summary>
    /// Asks for a value; from any thread. False, and nothing is sent now or later, when it cannot be asked or its line is lost. An answer is a value
    /// like any other: whether one is meant, only its time can tell.
    /// </summary>
    bool Request();

    /// <summary>
    /// Does what is due; never throws for what the device does. Events go to <paramref name="post"/> in the order they happened; it must not block.
    /// Gives how long to rest before the next step, infinite when there is no more to come. An early step does no harm.
    /// </summary>
    TimeSpan Step(Action<CaliperEvent> post);

    /// <summary>Gives back what it holds, waiting as long as <see cref="LineCloser.Limit"/> at most; the last call.</summary>
    void Close();
}

/// <summary>Runs a caliper on a thread of its own.</summary>
internal static class CaliperThread
{
    /// <summary>Steps the caliper until <paramref name="stop"/> or its end, then closes it.</summary>
    /// <remarks>A thread of its own: waking the pool each few milliseconds was measured to cost four times as much.</remarks>
    internal static Task RunAsync(this ICaliper caliper, Action<CaliperEvent> post, CancellationToken stop) =>
        Task.Factory.StartNew(() => Run(caliper, post, stop), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    private static void Run(ICaliper caliper, Action<CaliperEvent> post, CancellationToken stop)
    {
        try
        {
            TimeSpan rest = TimeSpan.Zero;
            while (rest != Timeout.InfiniteTimeSpan && !stop.WaitHandle.WaitOne(rest))
            {
                rest = caliper.Step(post);
            }
        }
        catch (Exception)
        {
            post(new CaliperEvent.Lost(LossKind.Failed, $"{caliper.Name} cannot be read any more: this program failed at it; the log says why."));
            throw;
        }
        finally
        {
            caliper.Close();
        }
    }
}
