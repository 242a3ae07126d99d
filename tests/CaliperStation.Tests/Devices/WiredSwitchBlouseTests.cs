using CaliperStation.Cli;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

/// <summary>A blouse whose rack lies off, worked from its first line to the signature by one switch wired to the caliper's port, in pretend time.</summary>
public sealed class WiredSwitchBlouseTests : IDisposable
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 3, 1, 9, 0, 0, TimeSpan.Zero));
    private readonly FakeLine _line = new();
    private readonly List<SittingEvent> _written = [];
    private readonly SyntheticBlouse _blouse;
    private BenchState _state;

    public WiredSwitchBlouseTests()
    {
        Plan plan = Plan.For(StandardSource.Demonstration().Standard, new Dictionary<string, string>());
        _blouse = new SyntheticBlouse(plan, 1, Length.FromMicrometres(10), "rack");
        SittingEvent.Started started = new("s-1", "HL-001", "AB", plan.Standard.Sha256, plan.Answers) { At = _time.GetUtcNow() };
        _state = BenchEngine.Begin(
            new Work.Measuring(SittingView.Of(Sitting.Begin(plan, started))), new LiveCaliper { Name = "caliper", Source = ReadingSource.Serial }, new BenchSetup(), Now).State;
    }

    private Moment Now => new(_time.GetElapsedTime(0), _time.GetUtcNow());

    public void Dispose() => _line.Dispose();

    [Fact]
    public void A_blouse_with_a_bad_rack_goes_from_its_first_line_to_the_signature_by_one_wired_switch()
    {
        SerialCaliper caliper = new(
            new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, _time, new FakePorts(_line), modem: new ModemSettings(Switch: ModemInput.Dsr));
        Queue<CaliperEvent> heard = new();
        int presses = 0;
        TimeSpan began = Now.Since, sent = began, pressed = began, moved = began;
        string? held = null;
        while (_state.Work.View.State.Signed is null)
        {
            Assert.True(Now.Since - began < TimeSpan.FromMinutes(10), $"after {presses} presses it still wants {_state.Want.Prompt}");
            _time.Advance(caliper.Step(heard.Enqueue));
            while (heard.TryDequeue(out CaliperEvent? seen))
            {
                Do(new BenchInput.Caliper(seen));
            }

            Do(new BenchInput.Tick());
            if (_state.Want.Prompt is Prompt.Read { Step.Id: var step } && step != held)
            {
                (held, moved) = (step, Now.Since);
            }

            if (Now.Since - sent >= TimeSpan.FromMilliseconds(100))
            {
                _line.Put(TransmittedValue.Text(Now.Since - moved < TimeSpan.FromMilliseconds(150) ? Length.Zero : _blouse.Gap(held ?? ""), LengthUnit.Millimetre) + "\r\n");   // the jaws open for the next gap
                sent = Now.Since;
            }

            if (Now.Since - pressed >= TimeSpan.FromMilliseconds(1_500))
            {
                _line.Inputs.Add(ModemInput.Dsr);
                presses++;
                pressed = Now.Since;
            }
            else if (Now.Since - pressed >= TimeSpan.FromMilliseconds(60))
            {
                _line.Inputs.Remove(ModemInput.Dsr);
            }
        }

        int readings = _written.OfType<SittingEvent.Took>().Count();
        Assert.Equal(12 + 4, readings);   // those of the rack twice
        Assert.Equal(["rack"], Assert.Single(_written.OfType<SittingEvent.Moved>()).Items);
        Assert.Empty(_written.OfType<SittingEvent.Withdrew>());
        Assert.True(_state.Work.View.IsVerified);
        Assert.Equal("AB", _state.Work.View.State.Signed!.Initials);
        Assert.Equal(readings + _written.OfType<SittingEvent.Confirmed>().Count() + 2 + 1, presses);   // its two pins, and the signature
    }

    private void Do(BenchInput input)
    {
        BenchState before = _state;
        BenchStep step = BenchEngine.Step(before, input, Now);
        _state = step.State;
        foreach (SittingEvent happened in step.Effects.OfType<BenchEffect.Append>().Select(append => append.Event))
        {
            _written.Add(happened);
            foreach (Core.Correcting.ItemMove move in happened is SittingEvent.Moved ? before.Advice!.Moves : [])
            {
                _blouse.Move(move);
            }
        }
    }
}
