using System.IO.Ports;
using System.Numerics;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

/// <summary>A wire on which an instrument sends without end; a line opened at any rate hears it bit by bit as an 8N1 receiver would.</summary>
internal sealed class UartWire(TimeProvider time, SerialSettings sender, TimeSpan between, Func<int, byte[]> line) : ISerialPorts
{
    private readonly long _began = time.GetTimestamp();

    internal List<int> Opened { get; } = [];

    public PortTrouble? Before(string port) => null;

    public PortTrouble After(string port, Exception failure) => new(PortTroubleKind.Failed, "It failed.");

    public string? Node(string port) => port;

    public ISerialLine Create(SerialSettings settings)
    {
        Opened.Add(settings.Baud);
        return new Receiver(this, settings.Baud);
    }

    public Task Close(ISerialLine line)
    {
        line.Dispose();
        return Task.CompletedTask;
    }

    private double Now => time.GetElapsedTime(_began).TotalSeconds;

    /// <summary>The level of the wire, high when idle.</summary>
    private bool High(double at)
    {
        int number = (int)(at / between.TotalSeconds);
        double bit = 1.0 / sender.Baud;
        int bitsPerByte = 1 + sender.DataBits + (sender.Parity == Parity.None ? 0 : 1) + (sender.StopBits == StopBits.Two ? 2 : 1);
        long index = (long)((at - (number * between.TotalSeconds)) / bit);
        byte[] bytes = line(number);
        long which = index / bitsPerByte;
        if (which >= bytes.Length)
        {
            return true;
        }

        int place = (int)(index % bitsPerByte);
        byte value = bytes[which];
        return place == 0 ? false
            : place <= sender.DataBits ? (value >> (place - 1) & 1) != 0
            : place > sender.DataBits + 1 || sender.Parity == Parity.None
            || (BitOperations.PopCount((uint)(value & ((1 << sender.DataBits) - 1))) % 2 != 0) == (sender.Parity == Parity.Even);
    }

    private sealed class Receiver(UartWire wire, int baud) : ISerialLine
    {
        private readonly Queue<byte> _heard = new();
        private double _at;

        public int BytesToRead
        {
            get
            {
                Hear();
                return _heard.Count;
            }
        }

        public void Open() => _at = wire.Now;

        public int Read(byte[] buffer, int count)
        {
            int read = 0;
            while (read < count && _heard.TryDequeue(out byte value))
            {
                buffer[read++] = value;
            }

            return read;
        }

        public void Write(ReadOnlySpan<byte> bytes)
        {
        }

        public void Dispose()
        {
        }

        /// <summary>Looks for a falling edge in steps of a sixteenth of a bit, as receivers do, then takes eight bits in their middles.</summary>
        private void Hear()
        {
            double bit = 1.0 / baud;
            double now = wire.Now;
            while (_at + (10 * bit) < now)
            {
                if (wire.High(_at))
                {
                    _at += bit / 16;
                    continue;
                }

                int value = 0;
                for (int place = 0; place < 8; place++)
                {
                    value |= wire.High(_at + ((1.5 + place) * bit)) ? 1 << place : 0;
                }

                _heard.Enqueue((byte)value);
                _at += 9.5 * bit;
            }
        }
    }
}
