using CaliperStation.Cli;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;

namespace CaliperStation.Running;

/// <summary>The caliper a bench works with: a port named, found, replayed, emulated, or none.</summary>
internal sealed class CaliperChoice
{
    private readonly ICaliper? _caliper;
    private readonly EmulatedCaliper? _emulated;
    private readonly SyntheticBlouse? _blouse;
    private readonly TimeProvider _clock;

    private CaliperChoice(ICaliper? caliper, SyntheticBlouse? blouse, string? remark, TimeProvider clock)
    {
        (_caliper, _emulated, _blouse, _clock, Remark) = (caliper, caliper as EmulatedCaliper, blouse, clock, remark);
        Live = new LiveCaliper(caliper?.Name ?? "", caliper?.Source ?? ReadingSource.Typed, clock);
    }

    /// <summary>What it shows.</summary>
    internal LiveCaliper Live { get; }

    /// <summary>What is to be said about the choice, or null.</summary>
    internal string? Remark { get; }

    /// <summary>Chooses by the options, then the settings.</summary>
    /// <exception cref="StationException">Exit 2: framing that is none; exit 3: a capture that cannot be read.</exception>
    internal static CaliperChoice Of(MeasureOptions options, Settings settings, Plan plan, TimeProvider clock)
    {
        string port = options.Port ?? settings.Port;
        LengthUnit bareUnit = settings.Unit ?? plan.Standard.Unit;
        Func<IFrameDecoder> decoder = LineDecoders.For(options.Format is { } name ? settings with { Format = LineDecoders.FormatOf(name)!.Value } : settings);
        return port switch
        {
            "none" => new CaliperChoice(null, null, null, clock),
            "emulated" => Emulated(options, plan, null, clock),
            "auto" => Found(options, settings, plan, decoder, bareUnit, clock),
            _ when port.StartsWith("replay:", StringComparison.Ordinal) => new CaliperChoice(ReplayCaliper.Load(port["replay:".Length..], decoder, bareUnit, clock), null, null, clock),
            _ => Serial(port, options, settings, decoder, bareUnit, null, clock),
        };
    }

    /// <summary>Starts the caliper for a screen; events go to <paramref name="post"/>.</summary>
    internal void StartLive(Action<CaliperEvent> post, CancellationToken stop)
    {
        if (_caliper is not null)
        {
            _ = Task.Run(() => _caliper.RunAsync(post, stop), CancellationToken.None);
        }
    }

    /// <summary>Starts the caliper for the plain bench and gives what a press takes from.</summary>
    internal IPressSource Start(TextWriter error, CancellationToken stop)
    {
        if (_emulated is not null)
        {
            return new EmulatedPress(_emulated, _blouse!, _clock);
        }

        if (_caliper is null)
        {
            return new NoPress();
        }

        WaitingPress press = new(Live, _clock, error);
        StartLive(press.Post, stop);
        return press;
    }

    /// <summary>Tells the emulated caliper which step is to be read.</summary>
    internal void Guide(Step step) => _emulated?.SetTarget(_blouse!.Gap(step.Id));

    private static CaliperChoice Found(MeasureOptions options, Settings settings, Plan plan, Func<IFrameDecoder> decoder, LengthUnit bareUnit, TimeProvider clock)
    {
        PortEntry? only = PortList.OnlyCandidate(PortList.OfMachine().Read(withGhosts: false));
        return only is not null
            ? Serial(only.Name, options, settings, decoder, bareUnit, $"Caliper on {only.Name}.", clock)
            : Emulated(options, plan, "No caliper was found: the emulated one is used. Its readings are pretended; type real ones, or name a port with --port.", clock);
    }

    private static CaliperChoice Serial(
        string port, MeasureOptions options, Settings settings, Func<IFrameDecoder> decoder, LengthUnit bareUnit, string? remark, TimeProvider clock)
    {
        SerialSettings line = SerialSettings.Parse(port, options.Serial ?? settings.Serial, out string? refusal)
            ?? throw new StationException(ExitCode.Usage, $"--serial: {refusal}");
        return new CaliperChoice(new SerialCaliper(line, decoder, bareUnit, clock), null, remark, clock);
    }

    private static CaliperChoice Emulated(MeasureOptions options, Plan plan, string? remark, TimeProvider clock)
    {
        LengthUnit unit = plan.Standard.Unit;
        EmulatedCaliper caliper = new(unit, options.Seed, clock);
        return new CaliperChoice(caliper, new SyntheticBlouse(plan, options.Seed, caliper.Resolution), remark, clock);
    }
}
