using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

public sealed class EmulatedTransmitterTests
{
    private readonly FakeTimeProvider _time = new();
    private readonly List<string> _sent = [];

    [Fact]
    public void A_script_sends_its_values_in_order_and_raw_text_as_it_stands()
    {
        EmulatedTransmitter transmitter = Transmitter(10, 9600, "1/8 in\nwait 500ms\n# a note\n-0.5 in\nsend \"ERR3\\r\\xFF\"");
        Run(transmitter, 100);
        Assert.Equal(["+0.1250 in\r"], _sent);
        Run(transmitter, 510);
        Assert.Equal(["+0.1250 in\r", "-0.5000 in\r"], _sent);
        Run(transmitter, 500);
        Assert.Equal("ERR3\r\u00ff", _sent[^1]);
    }

    [Fact]
    public void A_gap_streams_at_the_rate_and_comes_to_rest_there()
    {
        EmulatedTransmitter transmitter = Transmitter(10, 9600, "gap 1/2 in");
        Run(transmitter, 2_000);

        Assert.InRange(_sent.Count, 19, 21);
        Assert.All(_sent[10..], text => Assert.Contains(text, (string[])["+0.4995 in\r", "+0.5000 in\r", "+0.5005 in\r"]));
    }

    [Fact]
    public void A_slow_line_limits_the_rate()
    {
        // 14 bytes of 10 bits at 1200 baud: 117 ms a line, at most 8 lines a second.
        Run(Transmitter(100, 1200, "gap 1 in"), 2_000);

        Assert.InRange(_sent.Count, 15, 18);
    }

    [Fact]
    public void Without_a_rate_only_a_press_sends()
    {
        EmulatedTransmitter transmitter = Transmitter(0, 9600, "");
        Run(transmitter, 3_000);
        Assert.Empty(_sent);
        transmitter.Do(new EmulationAct.Press());

        Assert.Single(_sent);
    }

    [Fact]
    public void Without_a_script_it_wanders_the_same_way_for_the_same_seed()
    {
        Run(Transmitter(10, 9600, ""), 10_000);
        string[] first = [.. _sent];
        _sent.Clear();
        Run(Transmitter(10, 9600, ""), 10_000);

        Assert.Equal(first, _sent);
        Assert.True(first.Distinct().Count() > 20);
    }

    [Fact]
    public void Every_fault_of_a_script_is_told_with_its_line()
    {
        EmulationScript.Read(new StringReader("1/8 in\nwait long\nsend ERR\ngap\n\u001b[2J\n"), "s", LengthUnit.Inch, out IReadOnlyList<string> faults);

        Assert.Equal(["s:2", "s:3", "s:4", "s:5"], faults.Select(fault => fault[..3]));
        Assert.DoesNotContain("\u001b", string.Concat(faults), StringComparison.Ordinal);
    }

    private EmulatedTransmitter Transmitter(double rate, int baud, string script) => new(
        new TransmitterSettings(LengthUnit.Inch, "\r", rate, baud, 3),
        EmulationScript.Read(new StringReader(script), "s", LengthUnit.Inch, out _),
        _time,
        bytes => _sent.Add(Encoding.Latin1.GetString(bytes)));

    private void Run(EmulatedTransmitter transmitter, int milliseconds)
    {
        for (int i = 0; i < milliseconds; i += 5)
        {
            transmitter.Look();
            _time.Advance(TimeSpan.FromMilliseconds(5));
        }
    }
}
