using System.Text;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

/// <summary>A serial line in memory that can be filled, unplugged, and made to fail at any call.</summary>
internal sealed class FakeLine : ISerialLine, IModemLines
{
    private readonly Queue<byte> _waiting = new();

    internal Exception? OnOpen { get; set; }

    internal Exception? OnBytesToRead { get; set; }

    internal Exception? OnRead { get; set; }

    internal Exception? OnWrite { get; set; }

    internal Exception? OnDispose { get; set; }

    internal bool Unplugged { get; set; }

    internal int Polls { get; private set; }

    internal int PollsAfterLoss { get; private set; }

    internal bool ReadsNothing { get; set; }

    internal ManualResetEventSlim? HangsOnDispose { get; set; }

    internal List<string> Written { get; } = [];

    internal bool WroteAfterLoss { get; private set; }

    internal bool Disposed { get; private set; }

    internal Exception? OnModem { get; set; }

    internal HashSet<ModemInput> Inputs { get; } = [];

    internal List<(ModemOutput Output, bool On)> Outputs { get; } = [];

    /// <summary>How often an input was looked at.</summary>
    internal int Looks => Volatile.Read(ref _looks);

    private int _looks;

    public bool IsOn(ModemInput input)
    {
        Interlocked.Increment(ref _looks);
        return OnModem is null ? Inputs.Contains(input) : throw OnModem;
    }

    public void Put(ModemOutput output, bool on)
    {
        if (OnModem is not null)
        {
            throw OnModem;
        }

        Outputs.Add((output, on));
    }

    public int BytesToRead
    {
        get
        {
            lock (_waiting)
            {
                Polls++;
                PollsAfterLoss += Unplugged ? 1 : 0;
                return OnBytesToRead is null ? Unplugged ? -1 : _waiting.Count : throw OnBytesToRead;
            }
        }
    }

    internal void Put(string text)
    {
        lock (_waiting)
        {
            foreach (byte value in Encoding.Latin1.GetBytes(text))
            {
                _waiting.Enqueue(value);
            }
        }
    }

    public void Open()
    {
        if (OnOpen is not null)
        {
            throw OnOpen;
        }
    }

    public int Read(byte[] buffer, int count)
    {
        lock (_waiting)
        {
            if (OnRead is not null)
            {
                throw OnRead;
            }

            int read = 0;
            while (!ReadsNothing && read < count && _waiting.TryDequeue(out byte value))
            {
                buffer[read++] = value;
            }

            return read;
        }
    }

    public void Write(ReadOnlySpan<byte> bytes)
    {
        WroteAfterLoss |= Unplugged || Disposed;
        if (OnWrite is not null)
        {
            throw OnWrite;
        }

        Written.Add(Encoding.Latin1.GetString(bytes));
    }

    public void Dispose()
    {
        Disposed = true;
        HangsOnDispose?.Wait();
        if (OnDispose is not null)
        {
            throw OnDispose;
        }
    }
}

/// <summary>Hands out lines one after the other; none left means that there is no such port.</summary>
internal sealed class FakePorts(params FakeLine[] lines) : ISerialPorts
{
    private readonly Queue<FakeLine> _lines = new(lines);

    internal string? CurrentNode { get; set; } = "/dev/fake0";

    internal PortTrouble? Trouble { get; set; }

    internal int Tries { get; private set; }

    public PortTrouble? Before(string port)
    {
        Tries++;
        return Trouble ?? (CurrentNode is null || _lines.Count == 0 ? new(PortTroubleKind.NoSuchPort, "There is no such port.") : null);
    }

    public PortTrouble After(string port, Exception failure) => new(PortTroubleKind.Busy, "It is busy.");

    public ISerialLine Create(SerialSettings settings) => _lines.Dequeue();

    public string? Node(string port)
    {
        Looks++;
        return CurrentNode;
    }

    /// <summary>How often it was looked for.</summary>
    internal int Looks { get; private set; }

    /// <summary>On this thread, unless the line is one that hangs.</summary>
    public Task Close(ISerialLine line)
    {
        if (line is FakeLine { HangsOnDispose: not null })
        {
            return LineCloser.Begin(line);
        }

        LineCloser.Close(line);
        return Task.CompletedTask;
    }

    internal string? CurrentIdentity { get; set; }

    public string? Identity(string port) => CurrentIdentity;
}
