using System.Globalization;
using System.Numerics;
using System.Text;
using System.Text.Json;
using CaliperStation.Cli;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

public sealed class LineDiagnosticsTests : IDisposable
{
    private static readonly TimeSpan _long = TimeSpan.FromSeconds(4);
    private static readonly TimeSpan _tenth = TimeSpan.FromMilliseconds(100);

    private readonly FakeTimeProvider _time = new();
    private readonly FakeLine _line = new();
    private readonly SteppedCaliper _run;

    public LineDiagnosticsTests()
    {
        _run = new SteppedCaliper(new SerialCaliper(new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, _time, new FakePorts(_line)), _time);
        _run.Next<CaliperEvent.Opened>();
        _run.For(_tenth);
    }

    public void Dispose() => _line.Dispose();

    /// <summary>Lines as they come with each kind of wrong setting, for the bench and for <c>caliper listen</c>.</summary>
    public static TheoryData<LineTrouble, Func<int, string>> WrongLines => new()
    {
        { LineTrouble.Silent, _ => "" },
        { LineTrouble.NoUnit, Good("") },
        { LineTrouble.NoEnds, number => Good(" mm")(number).TrimEnd() + " " },
        { LineTrouble.NoReading, number => FormattableString.Invariant($"+{1200 + number} mm\r\n") },
        { LineTrouble.Range, _ => "+00F2.345 mm\r\n" },
        { LineTrouble.Range, _ => "ERR3\r\n" },
        { LineTrouble.Device, _ => "ERR0\r\n" },
        { LineTrouble.EvenParity, number => OnWire(Good(" mm")(number), value => value | (Odd(value) ? 0x80 : 0)) },
        { LineTrouble.OddParity, number => OnWire(Good(" mm")(number), value => value | (Odd(value) ? 0 : 0x80)) },
        { LineTrouble.EighthBit, number => OnWire(Good(" mm")(number), value => value | 0x80) },

        // The receiver starts one bit late and reads complements; forum.arduino.cc thread 543935 has such a log.
        { LineTrouble.Inverted, number => OnWire(Good(" mm")(number), value => (~value << 1) & 0xFF) },
        { LineTrouble.Rate, number => OnWire(Good(" mm")(number), value => value % 3 == 0 ? 0 : 0xFC) },
        { LineTrouble.ManyRefused, number => number % 6 == 0 ? "+12.3.4 mm\r\n" : Good(" mm")(number) },
    };

    [Theory]
    [MemberData(nameof(WrongLines))]
    public void What_is_wrong_is_told_once_to_the_bench_and_in_the_same_words_by_listening_and_that_it_is_over_too(LineTrouble kind, Func<int, string> line)
    {
        List<CaliperEvent> told = Send(line, 60);
        CaliperEvent.Diagnosed wrong = Assert.Single(told.OfType<CaliperEvent.Diagnosed>());
        Assert.Equal(kind, wrong.Kind);
        if (kind is LineTrouble.NoReading or LineTrouble.Range or LineTrouble.Device or LineTrouble.ManyRefused)
        {
            Assert.Contains(told.OfType<CaliperEvent.Refused>().First().Words, wrong.Words!, StringComparison.Ordinal);   // with the reason
        }

        Assert.Equal([wrong.Words], Listened(told));

        told = Send(Good(" mm"), 70);   // more than the recent past
        Assert.Equal(new CaliperEvent.Diagnosed(null, null), told.OfType<CaliperEvent.Diagnosed>().Last());
        Assert.Empty(Send(Good(" mm"), 50).OfType<CaliperEvent.Diagnosed>());
    }

    [Fact]
    public void Good_lines_need_no_doctor() => Assert.DoesNotContain(Send(Good(" mm"), 300), one => one is CaliperEvent.Diagnosed or CaliperEvent.Refused);

    [Fact]
    public void One_bad_frame_among_few_is_told_as_such_and_says_nothing_of_the_line()
    {
        List<CaliperEvent> told = Send(number => number switch { 0 or 2 => "+12.34 mm\r\n", 1 => "+12.3.4 mm\r\n", _ => "" }, 100);

        Assert.Equal(FrameReason.Garbled, Assert.Single(told.OfType<CaliperEvent.Refused>()).Kind);
        Assert.Empty(told.OfType<CaliperEvent.Diagnosed>());
    }

    [Fact]
    public void A_line_that_becomes_bad_after_an_hour_is_told_within_the_recent_past()
    {
        Send(Good(" mm"), 36_000);
        long bad = _time.GetTimestamp();
        List<CaliperEvent> told = Send(number => number % 4 == 0 ? "+12.3.4 mm\r\n" : Good(" mm")(number), 48);

        Assert.Equal(LineTrouble.ManyRefused, Assert.Single(told.OfType<CaliperEvent.Diagnosed>()).Kind);
        Assert.InRange(_time.GetElapsedTime(bad), TimeSpan.Zero, LineDiagnostics.Recent + _tenth);
    }

    [Fact]
    public void A_loss_ends_the_opinion()
    {
        Send(Good(""), 10);
        _line.Unplugged = true;
        IReadOnlyList<CaliperEvent> told = _run.For(_tenth);

        Assert.IsType<CaliperEvent.Lost>(told[0]);
        Assert.Null(Assert.IsType<CaliperEvent.Diagnosed>(told[1]).Kind);
        Assert.Empty(Listened(told));
    }

    [Fact]
    public void The_silence_of_a_caliper_that_speaks_only_when_asked_is_no_trouble()
    {
        SerialCaliper asked = new(
            new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, _time, new FakePorts(new FakeLine()), request: CaliperRequest.ToggleDtr);

        Assert.IsType<CaliperEvent.Opened>(Assert.Single(new SteppedCaliper(asked, _time).For(TimeSpan.FromSeconds(30))));
        Assert.Null(new LineDiagnostics().Opinion(TimeSpan.FromSeconds(2)));
        Assert.Equal(LineTrouble.Silent, new LineDiagnostics().Opinion(_long)?.Kind);
    }

    [Fact]
    public void An_instrument_that_sends_at_its_key_is_judged_by_its_last_lines_however_long_ago()
    {
        LineDiagnostics diagnostics = new();
        for (int press = 0; press < 4; press++)
        {
            diagnostics.Take([.. "+12.34 mm\r\n"u8.ToArray().Select(value => (byte)(value | (Odd(value) ? 0x80 : 0)))], TimeSpan.FromMinutes(press));
            Assert.Equal(press == 3 ? LineTrouble.EvenParity : null, diagnostics.Opinion(TimeSpan.FromMinutes(press))?.Kind);
        }

        Assert.Equal(LineTrouble.EvenParity, diagnostics.Opinion(TimeSpan.FromHours(1))?.Kind);
        for (int press = 0; press < 4; press++)
        {
            diagnostics.Take("+12.34 mm\r\n"u8, TimeSpan.FromHours(2) + TimeSpan.FromMinutes(press));
            diagnostics.TakeValue();
        }

        Assert.Null(diagnostics.Opinion(TimeSpan.FromHours(3)));
    }

    [Theory]
    [InlineData(false, 3)]
    [InlineData(true, 20)]
    public void Of_many_refused_lines_a_second_words_show_a_few_and_objects_all(bool json, int shown)
    {
        StringWriter output = new();
        ListenReport report = new(output, json);
        for (int line = 0; line < 20; line++)
        {
            report.Take(new CaliperEvent.Refused(FrameReason.Garbled, "the line fits no known form", "x"));
        }

        report.Take(null);
        string[] lines = output.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(shown, lines.Count(line => line.Contains("no known form", StringComparison.Ordinal)));
        Assert.Contains(lines, line => line.Contains(json ? "\"refused\":20" : "20 refused", StringComparison.Ordinal));
    }

    [Fact]
    public void Objects_say_by_a_code_what_words_say_to_people()
    {
        StringWriter output = new();
        ListenReport report = new(output, json: true);
        report.Take(new CaliperEvent.Lost(LossKind.NotThere, "x"));
        report.Take(new CaliperEvent.Refused(FrameReason.NoUnit, "x", "y"));
        report.Take(new CaliperEvent.Noted(NoteKind.CellLow, "x"));

        Assert.Equal(
            ["not-there", "no-unit", "cell-low"],
            output.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonDocument.Parse(line).RootElement.GetProperty("kind").GetString()));
    }

    /// <summary>Ten lines a second; what was told meanwhile.</summary>
    private List<CaliperEvent> Send(Func<int, string> line, int count)
    {
        List<CaliperEvent> told = [];
        for (int number = 0; number < count; number++)
        {
            _line.Put(line(number));
            told.AddRange(_run.For(_tenth));
        }

        return told;
    }

    private static List<string?> Listened(IEnumerable<CaliperEvent> told)
    {
        StringWriter output = new();
        ListenReport report = new(output, json: true);
        foreach (CaliperEvent one in told)
        {
            report.Take(one);
        }

        return [.. output.ToString().Split('\n', StringSplitOptions.RemoveEmptyEntries)
            .Select(text => JsonDocument.Parse(text).RootElement)
            .Where(said => said.GetProperty("event").GetString() is "wrong" or "well")
            .Select(said => said.GetProperty("why").GetString())];
    }

    private static Func<int, string> Good(string unit) => number => string.Create(CultureInfo.InvariantCulture, $"+12.{30 + (number % 10)}{unit}\r\n");

    private static string OnWire(string text, Func<byte, int> wire) =>
        Encoding.Latin1.GetString([.. Encoding.ASCII.GetBytes(text).Select(value => (byte)wire(value))]);

    private static bool Odd(byte value) => (BitOperations.PopCount(value) & 1) != 0;
}
