namespace CaliperStation.Storage;

/// <summary>A file written in one go whose bytes go to the disk while more are made, so that little is left to wait for at its end.</summary>
/// <remarks>A failed flush is told once by the system and never again, so each one's outcome is looked at.</remarks>
internal sealed class FlushingAhead(FileStream file)
{
    private const long Ahead = 16 * 1024 * 1024;

    private Task _flush = Task.CompletedTask;
    private long _since;

    /// <summary>Writes; now and then a flush begins beside.</summary>
    /// <exception cref="IOException">It could not be written, or what was written before could not be flushed.</exception>
    public void Write(ReadOnlySpan<byte> bytes)
    {
        file.Write(bytes);
        _since += bytes.Length;
        if (_since >= Ahead && _flush.IsCompleted)
        {
            _flush.GetAwaiter().GetResult();
            _since = 0;
            _flush = Task.Factory.StartNew(() => RandomAccess.FlushToDisk(file.SafeFileHandle), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        }
    }

    /// <summary>All of it is on the disk when this returns.</summary>
    /// <exception cref="IOException">It could not be flushed.</exception>
    public void Finish()
    {
        _flush.GetAwaiter().GetResult();
        file.Flush(flushToDisk: true);
    }
}
