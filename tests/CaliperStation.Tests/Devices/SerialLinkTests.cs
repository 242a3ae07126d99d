using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

public sealed class SerialLinkTests : IDisposable
{
    private readonly FakeTimeProvider _time = new();
    private readonly FakeLine _line = new();
    private readonly List<CaliperEvent> _events = [];
    private readonly SerialLink _link;

    public SerialLinkTests() =>
        _link = new SerialLink(_line, new AsciiLineDecoder(), Sink(_events.Add), _time, null);

    public void Dispose() => _line.Dispose();

    private IEnumerable<string> Values => _events.OfType<CaliperEvent.Value>().Select(value => value.Reading.Raw);

    [Fact]
    public void A_line_becomes_a_value_with_the_time_it_was_read()
    {
        Assert.Null(_link.Begin());
        Poll(10);
        _line.Put("-0.5000 in\r\n");
        Poll();

        Reading value = Assert.IsType<CaliperEvent.Value>(Assert.Single(_events)).Reading;
        Assert.Equal(Length.FromNanometres(-12_700_000), value.Value);
        Assert.Equal(LengthUnit.Inch, value.Unit);
        Assert.Equal("-0.5000 in", value.Raw);
        Assert.Equal(_time.GetElapsedTime(0), value.Arrived);
    }

    [Theory]
    [InlineData("\r")]
    [InlineData("\n")]
    [InlineData("\r\n")]
    public void Any_line_end_will_do_and_may_change(string end)
    {
        _link.Begin();
        _line.Put($"+1.00 mm{end}+2.00 mm\r+3.00 mm\n+4.00 mm\r\n");
        Poll();

        Assert.Equal(["+1.00 mm", "+2.00 mm", "+3.00 mm", "+4.00 mm"], Values);
    }

    [Fact]
    public void A_line_in_pieces_is_one_value()
    {
        _link.Begin();
        foreach (char letter in "+12.34 mm\r")
        {
            _line.Put(letter.ToString());
            Poll();
        }

        Assert.Equal(["+12.34 mm"], Values);
    }

    [Trait("trouble", "T49")]
    [Fact]
    public void What_waited_before_opening_is_no_reading_nor_is_the_rest_of_it()
    {
        _line.Put("+11.11 mm\r+22.2");
        Assert.Null(_link.Begin());
        _line.Put("2 mm\r+33.33 mm\r");
        Poll();

        Assert.Equal(["+33.33 mm"], Values);
    }

    [Fact]
    public void What_waited_while_nobody_listened_is_no_reading_and_that_is_told()
    {
        Assert.Null(_link.Begin());
        Poll(10);
        _line.Put("+11.11 mm\r+22.2");
        _time.Advance(SerialLink.LongestPause + TimeSpan.FromMilliseconds(1));   // the program was stopped, or the machine slept
        Poll();
        Assert.Equal(NoteKind.Paused, Assert.IsType<CaliperEvent.Noted>(Assert.Single(_events)).Kind);
        _line.Put("2 mm\r+33.33 mm\r");
        Poll();

        Assert.Equal(["+33.33 mm"], Values);
    }

    [Fact]
    public void A_pause_in_which_nothing_came_is_not_told()
    {
        Assert.Null(_link.Begin());
        _time.Advance(TimeSpan.FromHours(1));
        Poll();
        _line.Put("+33.33 mm\r");
        Poll();

        Assert.Equal(["+33.33 mm"], Values);
        Assert.Single(_events);
    }

    [Fact]
    public void Half_a_line_before_a_silence_is_dropped_and_told()
    {
        _link.Begin();
        Poll(10);
        _line.Put("+12.3");
        Poll(50);
        _line.Put("+45.67 mm\r");
        Poll();

        Assert.Equal(["+45.67 mm"], Values);
        Assert.Equal("+12.3", Assert.Single(_events.OfType<CaliperEvent.Refused>()).Raw);
    }

    [Fact]
    public void Escape_sequences_on_the_wire_never_reach_the_bench_raw()
    {
        _link.Begin();
        Poll(10);
        _line.Put("\u001b[2J\u0007+1.00 mm\r");
        Poll();

        CaliperEvent.Refused refused = Assert.IsType<CaliperEvent.Refused>(Assert.Single(_events));
        Assert.Equal("\\x1B[2J\\x07+1.00 mm", refused.Raw);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void A_line_that_fails_at_any_call_is_lost_and_says_so(int how)
    {
        _link.Begin();
        _line.Put("+1.00 mm\r");
        switch (how)
        {
            case 0:
                _line.Unplugged = true;   // what an unplugged line was measured to answer: -1 bytes
                break;
            case 1:
                _line.OnBytesToRead = new IOException();
                break;
            case 2:
                _line.OnRead = new ObjectDisposedException("port");
                break;
            default:
                _line.ReadsNothing = true;
                break;
        }

        Assert.Contains("unplugged", _link.Poll());
        Assert.Empty(_events);
    }

    [Fact]
    public void A_fault_of_the_program_is_not_taken_for_an_unplugged_line()
    {
        SerialLink link = new(_line, new AsciiLineDecoder(), Sink(_ => throw new IOException("disk")), _time, null);
        link.Begin();
        _line.Put("+1.00 mm\r");

        Assert.Throws<IOException>(link.Poll);
    }

    [Fact]
    public void The_tap_gets_every_byte_with_its_time()
    {
        List<(TimeSpan At, string Text)> tapped = [];
        SerialLink link = new(
            _line, new AsciiLineDecoder(), Sink(_events.Add), _time,
            (at, bytes) => tapped.Add((at, PrintableText.Escape(bytes))));
        link.Begin();
        _time.Advance(TimeSpan.FromMilliseconds(40));
        _line.Put("junk\r");
        link.Poll();

        Assert.Equal([(TimeSpan.FromMilliseconds(40), "junk\\x0D")], tapped);
    }

    private CaliperSink Sink(Action<CaliperEvent> post) => new(post, LengthUnit.Millimetre, ReadingSource.Serial, _time);

    private void Poll(int times = 1)
    {
        for (int i = 0; i < times; i++)
        {
            _time.Advance(SerialCaliper.PollEvery);
            Assert.Null(_link.Poll());
        }
    }
}
