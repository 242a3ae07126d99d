
namespace CaliperStation.Devices;

/// <summary>One opening of a serial line. Used by one task only; any exception means that the line is dead.</summary>
/// <remarks>
/// The calls are the few that were measured to keep every byte and to notice an unplugged line: no time-outs on
/// reading, no events, no line reading. Disposing a dead line may hang in the driver, see <see cref="LineCloser"/>.
/// </remarks>
internal interface ISerialLine : IDisposable
{
    /// <summary>Opens the line.</summary>
    void Open();

    /// <summary>How many bytes wait; negative when the line is gone.</summary>
    int BytesToRead { get; }

    /// <summary>Reads at most <paramref name="count"/> bytes that already wait; 0 when the line is gone.</summary>
    int Read(byte[] buffer, int count);

    /// <summary>Sends a request; only ever called on a line that is healthy.</summary>
    void Write(ReadOnlySpan<byte> bytes);
}

/// <summary>The machine's serial ports; the tests put their own in its place.</summary>
internal interface ISerialPorts
{
    /// <summary>Why the port cannot be opened, as far as can be told without opening it; null when nothing speaks against it.</summary>
    PortTrouble? Before(string port);

    /// <summary>What an opening that failed means.</summary>
    PortTrouble After(string port, Exception failure);

    /// <summary>A line that is not open yet.</summary>
    ISerialLine Create(SerialSettings settings);

    /// <summary>What stands behind the name now, links followed; null when nothing does.</summary>
    string? Node(string port);

    /// <summary>Which device it is, by what it says of itself; null when that cannot be told.</summary>
    string? Identity(string port) => null;

    /// <summary>Begins to close a line that was opened or tried; the machine's own lines are closed on a spare thread, for closing may hang.</summary>
    Task Close(ISerialLine line) => LineCloser.Begin(line);
}
