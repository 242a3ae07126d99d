using CaliperStation.Core.Wire;

namespace CaliperStation.Devices;

/// <summary>Bytes as they came off a line, with the time since it was opened; the span is only valid during the call.</summary>
internal delegate void ByteTap(TimeSpan sinceOpen, ReadOnlySpan<byte> bytes);

/// <summary>One opening of a line from the first poll to its loss. Takes no time of its own: each poll is one call.</summary>
internal sealed class SerialLink(ISerialLine line, IFrameDecoder decoder, CaliperSink sink, TimeProvider time, ByteTap? tap)
{
    // Past this a decoder has heard all that a silence can tell it.
    internal static readonly TimeSpan LongSilence = TimeSpan.FromSeconds(2);

    /// <summary>Between two polls: after a longer pause (the program was stopped, or the machine slept) nobody knows when what waits was sent.</summary>
    internal static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(0.5);

    private const int MaxChunksDropped = 16;
    private const string NoAnswer = "it no longer answers: unplugged, or its driver failed";
    private const string Ended = "it ended: unplugged, or its driver failed";

    private readonly byte[] _buffer = new byte[4096];
    private long _opened;
    private long _lastByte;
    private long _lastPoll;
    private bool _quiet;

    /// <summary>True for what a dying line throws; everything else is a fault of ours.</summary>
    internal static bool IsLineFailure(Exception e) =>
        e is IOException or UnauthorizedAccessException or InvalidOperationException or ArgumentException or TimeoutException || IsLibraryMissing(e);

    /// <summary>True when the native library that opens ports is not beside the program.</summary>
    internal static bool IsLibraryMissing(Exception e) => e is DllNotFoundException or TypeInitializationException { InnerException: DllNotFoundException };

    /// <summary>How long it has been open.</summary>
    internal TimeSpan SinceOpen => time.GetElapsedTime(_opened);

    /// <summary>
    /// Begins to listen on a line just opened: what already waits was sent before it, so it is not a reading of now, and
    /// what comes next may be the rest of it: so the decoder is reset.
    /// Returns null, or why the line is lost.
    /// </summary>
    internal string? Begin()
    {
        _opened = time.GetTimestamp();
        return Drop(out _);
    }

    /// <summary>Takes what has come; after a long pause it only drops it. Returns null, or why the line is lost.</summary>
    internal string? Poll()
    {
        TimeSpan pause = time.GetElapsedTime(_lastPoll);
        if (pause > LongestPause)
        {
            string? lost = Drop(out bool isDropped);
            if (isDropped)
            {
                sink.Paused(pause);
            }

            return lost;
        }

        _lastPoll = time.GetTimestamp();
        int waiting = Waiting();
        if (waiting < 0)
        {
            return NoAnswer;
        }

        if (waiting == 0)
        {
            Silence();
            return null;
        }

        int read = Read(waiting);
        if (read <= 0)
        {
            return Ended;
        }

        Take(_buffer.AsSpan(0, read));
        return null;
    }

    private string? Drop(out bool isDropped)
    {
        decoder.Reset();
        _lastByte = _lastPoll = time.GetTimestamp();
        int waiting = Waiting();
        isDropped = waiting > 0;
        for (int chunk = 0; waiting > 0 && chunk < MaxChunksDropped; chunk++)   // a flood must not hold up the start
        {
            int read = Read(waiting);
            if (read <= 0)
            {
                return Ended;
            }

            tap?.Invoke(SinceOpen, _buffer.AsSpan(0, read));
            waiting = Waiting();
        }

        return waiting < 0 ? NoAnswer : null;
    }

    /// <summary>Sends a request. Returns null, or why the line is lost.</summary>
    internal string? Send(byte[] bytes)
    {
        try
        {
            line.Write(bytes);
            return null;
        }
        catch (Exception e) when (IsLineFailure(e))
        {
            return e is TimeoutException ? "it takes no request" : NoAnswer;
        }
    }

    private int Waiting()
    {
        try
        {
            return line.BytesToRead;
        }
        catch (Exception e) when (IsLineFailure(e))
        {
            return -1;
        }
    }

    private int Read(int waiting)
    {
        try
        {
            return line.Read(_buffer, Math.Min(waiting, _buffer.Length));
        }
        catch (Exception e) when (IsLineFailure(e))
        {
            return -1;
        }
    }

    private void Take(ReadOnlySpan<byte> bytes)
    {
        long now = time.GetTimestamp();
        TimeSpan sinceOpen = time.GetElapsedTime(_opened, now);
        tap?.Invoke(sinceOpen, bytes);
        sink.Heard(bytes, sinceOpen);
        _lastByte = now;
        _quiet = false;
        decoder.Feed(bytes, sink);
    }

    private void Silence()
    {
        if (_quiet)
        {
            return;
        }

        TimeSpan gap = time.GetElapsedTime(_lastByte);
        decoder.Silence(gap, sink);
        _quiet = gap >= LongSilence;
    }
}
