namespace CaliperStation.Devices;

/// <summary>Closes a line without waiting for ever: closing an unplugged line is known to hang in some drivers.</summary>
internal static class LineCloser
{
    internal static readonly TimeSpan Limit = TimeSpan.FromSeconds(2);

    /// <summary>Closes on a spare thread; true when it was done within the limit, false when it was left behind.</summary>
    internal static async Task<bool> CloseAsync(ISerialLine line, TimeProvider time)
    {
        Task closing = Task.Factory.StartNew(
            () => Close(line), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        try
        {
            await closing.WaitAsync(Limit, time).ConfigureAwait(false);
            return true;
        }
        catch (TimeoutException)
        {
            return false;
        }
    }

    private static void Close(ISerialLine line)
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
