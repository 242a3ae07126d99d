using System.Collections.Concurrent;
using System.Text;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using CaliperStation.Running;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

/// <summary>The framings are those of published instruments; the lines have their published forms (see the frames that the decoders are checked with).</summary>
public sealed class LineFinderTests
{
    private static readonly TimeSpan _step = TimeSpan.FromMilliseconds(8);
    private readonly WaitedTime _time = new();

    [Theory]
    [InlineData("9600-8N1", "9600-8N1", "+12.34 mm\r\n", 100)]
    [InlineData("9600-7E2", "9600-7E2", "+0012.345 mm\r", 100)]
    [InlineData("4800-7E2", "4800-7E2", "+12.3450\r", 200)]
    [InlineData("4800-8N1", "4800-8N1", "+012.345\r", 300)]
    [InlineData("4800-8N1", "4800-8N1", "+12.34 mm\r\n", 200)]
    [InlineData("1200-8N2", "1200-8N1", "                12.34 mm\r", 350)]
    [InlineData("9600-7O1", "9600-7O2", "+12.34 mm\r\n", 100)]
    public async Task Rate_framing_and_form_are_found_within_three_seconds_of_steady_sending(string sent, string found, string text, int milliseconds)
    {
        FoundLine line = await FindAsync(sent, milliseconds, _ => Encoding.ASCII.GetBytes(text));

        Assert.Equal(found, line.Settings?.Framing);
        Assert.InRange(_time.GetElapsedTime(_began), TimeSpan.Zero, TimeSpan.FromSeconds(3.3));   // the first line after opening may have begun before
        Assert.False(line.Probe.Bridge);
    }

    [Fact]
    public async Task A_bridge_is_found_at_its_own_rate()
    {
        FrameBits bits = Bits24Encoder.Encode(Length.FromMicrometres(10_000), LengthUnit.Millimetre);
        FoundLine line = await FindAsync("115200-8N1", 100, number => Encoding.ASCII.GetBytes(BridgeLineEncoder.Encode(new(number & 0xFFFF, FrameFormat.Bits24, bits, 66_000, false, BridgePower.Good)) + "\r\n"));

        Assert.Equal("115200-8N1", line.Settings?.Framing);
        Assert.True(line.Probe.Bridge);
        Assert.IsType<BridgeLineDecoder>(LineDecoders.For(Settings.Usual, line)());
    }

    [Fact]
    public async Task Noise_is_never_a_format_and_the_reason_is_told()
    {
        Random noise = new(1);
        byte[][] lines = [.. Enumerable.Range(0, 200).Select(_ => { byte[] bytes = new byte[12]; noise.NextBytes(bytes); return bytes; })];
        FoundLine line = await FindAsync("9600-8N1", 50, number => lines[number % lines.Length]);

        Assert.Null(line.Settings);
        Assert.Contains("No format was found", line.Words, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Silence_is_told_as_silence()
    {
        FoundLine line = await FindAsync("9600-8N1", 1_000, _ => []);

        Assert.Null(line.Settings);
        Assert.Contains("Nothing comes", line.Words, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_caliper_found_is_listened_to()
    {
        ConcurrentQueue<CaliperEvent> seen = new();
        using CancellationTokenSource stop = new();
        UartWire wire = new(_time, SerialSettings.Parse("x", "4800-8N1", out _)!, TimeSpan.FromMilliseconds(200), _ => "+12.34 mm\r\n"u8.ToArray());
        FindingCaliper caliper = new("/dev/fake", found => LineDecoders.For(Settings.Usual, found), LengthUnit.Millimetre, _time, wire);
        Task run = caliper.RunAsync(seen.Enqueue, stop.Token);
        await _time.PassAsync(() => !seen.IsEmpty);
        Assert.Contains("4800-8N1", Assert.IsType<CaliperEvent.Noted>(seen.First()).Words, StringComparison.Ordinal);
        await _time.PassAsync(() => seen.OfType<CaliperEvent.Value>().Any(), () => wire.Looks);

        Assert.Equal(Length.FromMicrometres(12_340), seen.OfType<CaliperEvent.Value>().First().Length);
        await stop.CancelAsync();
        await EventLog.UntilAsync(() => run.IsCompleted, _time, _step);
    }

    [Fact]
    public async Task Another_device_on_the_line_is_searched_for_anew()
    {
        ConcurrentQueue<CaliperEvent> seen = new();
        using CancellationTokenSource stop = new();
        UartWire first = new(_time, SerialSettings.Parse("x", "4800-8N1", out _)!, TimeSpan.FromMilliseconds(200), _ => "+12.34 mm\r\n"u8.ToArray());
        UartWire second = new(_time, SerialSettings.Parse("x", "9600-7E2", out _)!, TimeSpan.FromMilliseconds(100), _ => "+0012.345 mm\r"u8.ToArray());
        SwappedWires wires = new(first, second);
        long Looks() => first.Looks + second.Looks;
        FindingCaliper caliper = new("/dev/fake", found => LineDecoders.For(Settings.Usual, found), LengthUnit.Millimetre, _time, wires);
        Task run = caliper.RunAsync(seen.Enqueue, stop.Token);
        await _time.PassAsync(() => seen.OfType<CaliperEvent.Value>().Any(), Looks);
        wires.Swap();
        await _time.PassAsync(() => seen.OfType<CaliperEvent.Noted>().Count(note => note.Kind == NoteKind.LineFound) == 2, Looks);

        Assert.Equal(["4800-8N1", "9600-7E2"], seen.OfType<CaliperEvent.Noted>().Where(note => note.Kind == NoteKind.LineFound).Select(note => note.Words.Split(' ', ',')[1]));
        Assert.Contains(seen.OfType<CaliperEvent.Noted>(), note => note.Kind == NoteKind.OtherDevice);
        await stop.CancelAsync();
        await EventLog.UntilAsync(() => run.IsCompleted, _time, _step);
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

    private async Task<FoundLine> FindAsync(string sent, int milliseconds, Func<int, byte[]> line)
    {
        UartWire wire = new(_time, SerialSettings.Parse("x", sent, out _)!, TimeSpan.FromMilliseconds(milliseconds), line);
        _began = _time.GetTimestamp();
        Task<FoundLine> finding = new LineFinder(wire, _time).FindAsync("/dev/fake", default);
        await _time.PassAsync(() => finding.IsCompleted);
        return await finding;
    }

    /// <summary>Pretend time that goes on by a step each time somebody begins to wait, so that no thread of the machine can be late.</summary>
    private sealed class WaitedTime : FakeTimeProvider
    {
        private int _granted;
        private volatile bool _wholeWaits;

        public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
        {
            ITimer timer = base.CreateTimer(callback, state, dueTime, period);
            Grant(_wholeWaits ? (int)Math.Ceiling(dueTime / _step) : 1);
            return timer;
        }

        /// <summary>
        /// Time goes on by one step when somebody waits, so that a search takes the same time under any load. With <paramref name="looks"/> it goes on by one
        /// when somebody looked at a line on a thread of its own, and by all of a wait: no line is missed, and no pause stands still.
        /// </summary>
        internal async Task PassAsync(Func<bool> holds, Func<long>? looks = null)
        {
            using CancellationTokenSource limit = new(TimeSpan.FromSeconds(60));
            _wholeWaits = looks is not null;
            for (long looked = 0; !holds();)
            {
                limit.Token.ThrowIfCancellationRequested();
                if (looks?.Invoke() is { } now && now != looked)
                {
                    looked = now;
                    Grant(1);
                }

                if (Volatile.Read(ref _granted) > 0)
                {
                    Interlocked.Decrement(ref _granted);
                    Advance(_step);
                }
                else
                {
                    await Task.Yield();
                }
            }
        }

        private void Grant(int steps)
        {
            for (int now = Volatile.Read(ref _granted); steps > now; now = Volatile.Read(ref _granted))
            {
                if (Interlocked.CompareExchange(ref _granted, steps, now) == now)
                {
                    return;
                }
            }
        }
    }
}
