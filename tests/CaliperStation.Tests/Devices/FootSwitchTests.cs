using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

public sealed class FootSwitchTests : IDisposable
{
    private readonly FakeTimeProvider _time = new();
    private readonly FakeLine _line = new();
    private readonly List<CaliperEvent> _events = [];

    public void Dispose() => _line.Dispose();

    private int Presses => _events.OfType<CaliperEvent.Press>().Count();

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_press_is_a_level_steady_for_20_ms_in_either_sense(bool pressedWhenOn)
    {
        FootSwitch pedal = Wired(new ModemSettings(Switch: ModemInput.Cts, PressedWhenOn: pressedWhenOn), down: false);
        Set(true, pressedWhenOn);
        Polls(pedal, 2);
        Assert.Equal(0, Presses);
        Polls(pedal, 2);
        Assert.Equal(1, Presses);
        Set(false, pressedWhenOn);
        Polls(pedal, 100);
        Assert.Equal(1, Presses);   // letting go is no press
    }

    [Fact]
    public void Bouncing_is_one_press_and_a_glitch_is_none()
    {
        FootSwitch pedal = Wired(new ModemSettings(Switch: ModemInput.Cts), down: false);
        Set(true);
        Polls(pedal, 1);
        Set(false);
        Polls(pedal, 50);
        Assert.Equal(0, Presses);

        for (int bounce = 0; bounce < 4; bounce++)
        {
            Set(bounce % 2 == 0);
            Polls(pedal, 1);
        }

        Set(true);
        Polls(pedal, 10);
        Assert.Equal(1, Presses);
    }

    [Fact]
    public void Every_press_is_told_and_which_are_the_same_is_the_benchs_to_say()
    {
        FootSwitch pedal = Wired(new ModemSettings(Switch: ModemInput.Cts), down: false);
        for (int press = 0; press < 2; press++)
        {
            Set(true);
            Polls(pedal, 6);
            Set(false);
            Polls(pedal, 6);
        }

        Assert.Equal(2, Presses);
    }

    [Fact]
    public void A_switch_that_is_down_when_the_port_opens_was_not_pressed()
    {
        FootSwitch pedal = Wired(new ModemSettings(Switch: ModemInput.Cts), down: true);
        Polls(pedal, 20);
        Assert.Equal(0, Presses);
    }

    [Trait("trouble", "T65")]
    [Fact]
    public void A_port_without_modem_lines_says_so_once_and_goes_on()
    {
        _line.OnModem = new IOException();
        FootSwitch pedal = Wired(new ModemSettings(Rts: true, Switch: ModemInput.Cts), down: false);
        Polls(pedal, 5);
        pedal.Toggle();
        pedal.Begin(_line);
        Polls(pedal, 5);

        Assert.Equal(NoteKind.NoSwitch, Assert.IsType<CaliperEvent.Noted>(Assert.Single(_events)).Kind);
    }

    [Fact]
    public void A_caliper_powers_its_lines_asks_by_dtr_and_tells_the_wired_switch()
    {
        SerialCaliper caliper = new(
            new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, _time, new FakePorts(_line),
            modem: new ModemSettings(Rts: true, Switch: ModemInput.Dsr), request: CaliperRequest.ToggleDtr);
        SteppedCaliper run = new(caliper, _time);
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        Assert.True(caliper.Request());
        run.Until(() => _line.Outputs.Count == 3);
        Assert.Equal([(ModemOutput.Rts, true), (ModemOutput.Dtr, false), (ModemOutput.Dtr, true)], _line.Outputs);

        _line.Inputs.Add(ModemInput.Dsr);
        Assert.IsType<CaliperEvent.Press>(run.Next());
    }

    [Fact]
    public void A_second_switch_says_not_so_and_is_no_press()
    {
        FootSwitch pedals = Wired(new ModemSettings(Switch: ModemInput.Cts, NotSo: ModemInput.Dcd), down: false);
        _line.Inputs.Add(ModemInput.Dcd);
        Polls(pedals, 4);
        Assert.IsType<CaliperEvent.NotSo>(Assert.Single(_events));
        Set(true);
        Polls(pedals, 4);
        Assert.Equal(1, Presses);
    }

    private FootSwitch Wired(ModemSettings settings, bool down)
    {
        Set(down, settings.PressedWhenOn);
        FootSwitch pedal = new(settings, _events.Add, _time);
        pedal.Begin(_line);
        Polls(pedal, 1);
        return pedal;
    }

    private void Set(bool down, bool pressedWhenOn = true)
    {
        if (down == pressedWhenOn)
        {
            _line.Inputs.Add(ModemInput.Cts);
        }
        else
        {
            _line.Inputs.Remove(ModemInput.Cts);
        }
    }

    private void Polls(FootSwitch pedal, int count)
    {
        for (int i = 0; i < count; i++)
        {
            _time.Advance(SerialCaliper.PollEvery);
            pedal.Poll();
        }
    }
}
