using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Tests.Wire;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

/// <summary>The framings are those of published instruments; the lines have their published forms (see the frames that the decoders are checked with).</summary>
public sealed class LineDetectorTests
{
    private readonly FakeTimeProvider _time = new();

    [Theory]
    [InlineData("9600-8N1", "9600-8N1", "+12.34 mm\r\n", 100)]
    [InlineData("9600-7E2", "9600-7E2", "+0012.345 mm\r", 100)]
    [InlineData("4800-7E2", "4800-7E2", "+12.3450\r", 200)]
    [InlineData("4800-8N1", "4800-8N1", "+012.345\r", 300)]
    [InlineData("4800-8N1", "4800-8N1", "+12.34 mm\r\n", 200)]
    [InlineData("1200-8N2", "1200-8N1", "                12.34 mm\r", 350)]
    [InlineData("9600-7O1", "9600-7O2", "+12.34 mm\r\n", 100)]
    public void Rate_framing_and_form_are_found_within_three_seconds_of_steady_sending(string sent, string found, string text, int milliseconds)
    {
        FoundLine line = Find(sent, milliseconds, _ => Encoding.ASCII.GetBytes(text));

        Assert.Equal(found, line.Settings?.Framing);
        Assert.InRange(_time.GetElapsedTime(_began), TimeSpan.Zero, TimeSpan.FromSeconds(3.3));   // the first line after opening may have begun before
        Assert.False(line.Probe.Bridge);
    }

    [Fact]
    public void A_bridge_is_found_at_its_own_rate()
    {
        FrameBits bits = Bits24Encoder.Encode(Length.FromMicrometres(10_000), LengthUnit.Millimetre);
        FoundLine line = Find("115200-8N1", 100, number => Encoding.ASCII.GetBytes(BridgeLineEncoder.Encode(new(number & 0xFFFF, FrameFormat.Bits24, bits, 66_000, false, BridgePower.Good)) + "\r\n"));

        Assert.Equal("115200-8N1", line.Settings?.Framing);
        Assert.True(line.Probe.Bridge);
        Assert.IsType<BridgeLineDecoder>(LineDecoders.For(Settings.Default, line)());
    }

    [Fact]
    public void Noise_is_never_a_format_and_the_reason_is_told()
    {
        Random noise = new(1);
        byte[][] lines = [.. Enumerable.Range(0, 200).Select(_ => { byte[] bytes = new byte[12]; noise.NextBytes(bytes); return bytes; })];
        FoundLine line = Find("9600-8N1", 50, number => lines[number % lines.Length]);

        Assert.Null(line.Settings);
        Assert.Contains(line.Probe.Verdict, (ProbeVerdict[])[ProbeVerdict.NoFit, ProbeVerdict.Undecided]);
        Assert.True(line.Probe.Bytes > 0);
    }

    [Fact]
    public void Silence_is_told_as_silence()
    {
        FoundLine line = Find("9600-8N1", 1_000, _ => []);

        Assert.Null(line.Settings);
        Assert.Equal((ProbeVerdict.Silent, 0), (line.Probe.Verdict, line.Probe.Bytes));
    }

    [Fact]
    public void A_caliper_found_is_listened_to()
    {
        UartWire wire = new(_time, SerialSettings.Parse("x", "4800-8N1", out _)!, TimeSpan.FromMilliseconds(200), _ => "+12.34 mm\r\n"u8.ToArray());
        AutoDetectCaliper caliper = new("/dev/fake", found => LineDecoders.For(Settings.Default, found), LengthUnit.Millimetre, _time, wire);
        SteppedCaliper run = new(caliper, _time);
        Assert.False(caliper.Request());
        CaliperEvent.Noted found = Assert.IsType<CaliperEvent.Noted>(run.Next());
        Assert.Equal(NoteKind.LineFound, found.Kind);
        Assert.Contains("4800-8N1", found.Words, StringComparison.Ordinal);

        Assert.Equal(Length.FromMicrometres(12_340), run.Next<CaliperEvent.Value>().Reading.Value);
        caliper.Close();
    }

    [Fact]
    public void A_port_that_is_not_there_is_told_once_and_searched_soon_after_it_came()
    {
        _began = _time.GetTimestamp();
        FakePorts ports = new(new FakeLine()) { CurrentNode = null };
        SteppedCaliper run = new(new AutoDetectCaliper("/dev/fake", _ => throw new InvalidOperationException(), LengthUnit.Millimetre, _time, ports), _time);
        Assert.Equal(LossKind.NotThere, Assert.IsType<CaliperEvent.Lost>(Assert.Single(run.For(TimeSpan.FromSeconds(30)))).Kind);
        ports.CurrentNode = "/dev/fake0";
        int tries = ports.Tries;

        run.Until(() => ports.Tries > tries);
        Assert.InRange(_time.GetElapsedTime(_began), TimeSpan.Zero, TimeSpan.FromSeconds(30.5));
    }

    [Fact]
    public void Another_device_on_the_line_is_searched_for_anew()
    {
        UartWire first = new(_time, SerialSettings.Parse("x", "4800-8N1", out _)!, TimeSpan.FromMilliseconds(200), _ => "+12.34 mm\r\n"u8.ToArray());
        UartWire second = new(_time, SerialSettings.Parse("x", "9600-7E2", out _)!, TimeSpan.FromMilliseconds(100), _ => "+0012.345 mm\r"u8.ToArray());
        SwappedWires wires = new(first, second);
        SteppedCaliper run = new(new AutoDetectCaliper("/dev/fake", found => LineDecoders.For(Settings.Default, found), LengthUnit.Millimetre, _time, wires), _time);
        Assert.Contains("4800-8N1", Note(run, NoteKind.LineFound), StringComparison.Ordinal);
        run.Next<CaliperEvent.Value>();
        wires.Swap();
        Assert.NotEmpty(Note(run, NoteKind.OtherDevice));
        Assert.Contains("9600-7E2", Note(run, NoteKind.LineFound), StringComparison.Ordinal);
    }

    private static string Note(SteppedCaliper run, NoteKind kind)
    {
        while (true)
        {
            if (run.Next<CaliperEvent.Noted>() is { } note && note.Kind == kind)
            {
                return note.Words;
            }
        }
    }

    /// <summary>One port behind which another instrument is plugged in.</summary>
    private sealed class SwappedWires(UartWire first, UartWire second) : ISerialPorts
    {
        private volatile bool _swapped;

        internal void Swap() => _swapped = true;

        public PortTrouble? Before(string port) => null;

        public PortTrouble After(string port, Exception failure) => first.After(port, failure);

        public string? Node(string port) => port;

        public string? Identity(string port) => _swapped ? "second" : "first";

        public Task Close(ISerialLine line)
        {
            line.Dispose();
            return Task.CompletedTask;
        }

        public ISerialLine Create(SerialSettings settings) => new Line(this, (_swapped ? second : first).Create(settings), _swapped);

        private sealed class Line(SwappedWires ports, ISerialLine line, bool isSecond) : ISerialLine
        {
            public int BytesToRead => ports._swapped == isSecond ? line.BytesToRead : -1;

            public void Open() => line.Open();

            public int Read(byte[] buffer, int count) => line.Read(buffer, count);

            public void Write(ReadOnlySpan<byte> bytes) => line.Write(bytes);

            public void Dispose() => line.Dispose();
        }
    }

    private long _began;

    private FoundLine Find(string sent, int milliseconds, Func<int, byte[]> line)
    {
        UartWire wire = new(_time, SerialSettings.Parse("x", sent, out _)!, TimeSpan.FromMilliseconds(milliseconds), line);
        _began = _time.GetTimestamp();
        LineDetector detector = new(wire, _time, "/dev/fake");
        while (true)
        {
            if (detector.Step() is { } found)
            {
                return found;
            }

            _time.Advance(SerialCaliper.PollEvery);
        }
    }
}
