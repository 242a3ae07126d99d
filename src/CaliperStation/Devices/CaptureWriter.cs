
namespace CaliperStation.Devices;

/// <summary>Keeps what came off a line, with its timing, for <c>--save</c>. Every line is written through at once.</summary>
internal sealed class CaptureWriter : IDisposable
{
    private readonly TextWriter _writer;
    private TimeSpan _before;      // of the openings before this one
    private TimeSpan _last;

    /// <summary>Begins a capture.</summary>
    internal CaptureWriter(TextWriter writer, SerialSettings settings)
    {
        _writer = writer;
        Note(CaptureText.Header);
        Note($"# {settings.Framing}");
    }

    /// <summary>Begins a capture in a file; a file of that name is refused, never overwritten.</summary>
    /// <exception cref="IOException">There is such a file, or it cannot be made.</exception>
    internal static CaptureWriter Create(string path, SerialSettings settings) =>
        new(new StreamWriter(new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.Read)), settings);

    /// <summary>The line was lost: the next opening's times start again, the file's go on.</summary>
    internal void Lost()
    {
        _before = _last;
        Note("# the line was lost");
    }

    /// <summary>Keeps some bytes. Fits <see cref="ByteTap"/>.</summary>
    internal void Take(TimeSpan sinceOpen, ReadOnlySpan<byte> bytes)
    {
        TimeSpan at = _before + sinceOpen;
        _last = at > _last ? at : _last;
        Note(CaptureText.Format(_last, bytes));
    }

    /// <inheritdoc />
    public void Dispose() => _writer.Dispose();

    private void Note(string line)
    {
        _writer.Write(line);
        _writer.Write('\n');
        _writer.Flush();
    }
}
