
namespace CaliperStation.Devices;

/// <summary>Closes a line without waiting for ever: closing an unplugged line is known to hang in some drivers.</summary>
internal static class LineCloser
{
    /// <summary>After so long a close is left behind; a caliper must be back 1.5 s after its device is.</summary>
    internal static readonly TimeSpan Limit = TimeSpan.FromSeconds(0.75);

    /// <summary>Begins to close on a spare thread; done when it is closed as far as it ever will be.</summary>
    internal static Task Begin(ISerialLine line) =>
        Task.Factory.StartNew(() => Close(line), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    /// <summary>Closes on a spare thread; true when it was done within the limit, false when it was left behind.</summary>
    internal static async Task<bool> CloseAsync(ISerialLine line, TimeProvider time)
    {
        try
        {
            await Begin(line).WaitAsync(Limit, time).ConfigureAwait(false);
            return true;
        }
        catch (TimeoutException)
        {
            return false;
        }
    }

    /// <summary>Closes on this thread.</summary>
    internal static void Close(ISerialLine line)
    {
        try
        {
            line.Dispose();
        }
        catch (Exception e) when (SerialLink.IsLineFailure(e))
        {
            // A line that fails on closing is closed as far as it ever will be.
        }
    }
}

/// <summary>A line that is being closed; stepped, never waited for but at the end.</summary>
internal sealed class ClosingLine(Task closing, TimeProvider time)
{
    private readonly long _began = time.GetTimestamp();

    /// <summary>True once it is closed, or left behind after <see cref="LineCloser.Limit"/>.</summary>
    internal bool IsOver => closing.IsCompleted || time.GetElapsedTime(_began) >= LineCloser.Limit;

    /// <summary>Waits in real time, <see cref="LineCloser.Limit"/> at most.</summary>
    internal void Wait() => closing.Wait(LineCloser.Limit);
}
