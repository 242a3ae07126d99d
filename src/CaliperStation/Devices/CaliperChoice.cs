using CaliperStation.Core.Correcting;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>Which caliper is wanted.</summary>
/// <param name="Port">A port's name, <c>auto</c>, <c>emulated</c>, <c>none</c> or <c>replay:FILE</c>.</param>
/// <param name="Serial">Rate and framing, or null for what the settings say.</param>
/// <param name="Format">What kind of lines come, or null for what the settings say.</param>
/// <param name="Seed">Of the emulated one.</param>
/// <param name="BareUnit">The unit of frames that name none, and of the emulated one.</param>
/// <param name="MayPretend">True for the demonstration, which may fall to the emulated caliper when none is found.</param>
internal sealed record PortRequest(string Port, string? Serial, string? Format, ulong Seed, LengthUnit BareUnit, bool MayPretend);

/// <summary>The caliper a bench works with: a port named, found, replayed, emulated, or none.</summary>
internal sealed class CaliperChoice
{
    /// <summary>Rate and framing that are to be found.</summary>
    internal const string FindSerial = "auto";

    private readonly EmulatedCaliper? _emulated;
    private readonly Func<string, Length>? _gap;
    private readonly Action<ItemMove>? _move;   // of the blouse that the emulated one measures

    private CaliperChoice(ICaliper? caliper, Measured? measured, string portName, string? remark) =>
        (Caliper, _emulated, _gap, _move, PortName, Remark) = (caliper, caliper as EmulatedCaliper, measured?.Gap, measured?.Move, portName, remark);

    /// <summary>What the emulated caliper measures: the gap at each step, and what moves pins of it.</summary>
    private sealed record Measured(Func<string, Length> Gap, Action<ItemMove>? Move = null);

    /// <summary>The caliper, or null for none.</summary>
    internal ICaliper? Caliper { get; }

    /// <summary>True when it is asked for each value. The emulated one is asked where nobody sees it move, so that a script need not wait for a hand.</summary>
    internal bool IsAsked(bool onScreen) => Caliper is { Asks: true } && !(onScreen && _emulated is not null);

    /// <summary>The port its checks are kept under: the port's own name, <c>emulated</c>, <c>replay</c> or <c>none</c>.</summary>
    internal string PortName { get; }

    /// <summary>True for a caliper that can wear: one on a wire, or one whose lengths are typed.</summary>
    internal bool WantsChecks => _emulated is null && Caliper is not ReplayCaliper;

    /// <summary>What is to be said about the choice, or null.</summary>
    internal string? Remark { get; }

    /// <summary>Chooses by the options, then the settings; of the emulated one's blouse <paramref name="misplaced"/> lies off at first.</summary>
    /// <exception cref="StationException">Exit 2: framing that is none; exit 3: a capture that cannot be read.</exception>
    internal static CaliperChoice Of(PortRequest request, Settings settings, Plan plan, TimeProvider clock, string? misplaced = null)
    {
        Measured Coat(EmulatedCaliper emulated)
        {
            SyntheticBlouse blouse = new(plan, request.Seed, emulated.Resolution, misplaced);
            return new Measured(blouse.Gap, blouse.Move);
        }

        return Of(request, settings, Coat, clock, plan.Standard.Unit);
    }

    /// <summary>The caliper of a check; <paramref name="block"/> tells the emulated one what lies between its jaws.</summary>
    /// <exception cref="StationException">Exit 2: framing that is none; exit 3: a capture that cannot be read.</exception>
    internal static CaliperChoice ForCheck(PortRequest request, Settings settings, Func<string, Length> block, TimeProvider clock) =>
        Of(request, settings, _ => new Measured(block), clock, LengthUnit.Millimetre);

    /// <summary>The caliper of a study; the emulated one finds each point where it lies on a made-up coat, or at a length of its own.</summary>
    /// <exception cref="StationException">Exit 2: framing that is none; exit 3: a capture that cannot be read.</exception>
    internal static CaliperChoice ForStudy(PortRequest request, Settings settings, StudyPlan study, Plan? coat, TimeProvider clock)
    {
        Dictionary<string, string> points = study.OrderOf(study.Hands[0]).ToDictionary(slot => slot.Step, slot => slot.Point);   // steps are called alike for every hand
        List<string> order = [.. study.Points.Select(point => point.Id)];
        Measured Points(EmulatedCaliper emulated)
        {
            SyntheticBlouse? blouse = coat is null ? null : new SyntheticBlouse(coat, request.Seed, emulated.Resolution);
            return new Measured(step => blouse?.Gap(points[step]) ?? Length.Millimetre.Times(10 + order.IndexOf(points[step])));
        }

        return Of(request, settings, Points, clock, study.Unit);
    }

    /// <summary>The caliper whose port a foot switch is wired to, for a page that measures nothing; null where none is.</summary>
    /// <exception cref="StationException">Exit 2: framing that is none.</exception>
    internal static ICaliper? ForSwitch(string port, Settings settings, TimeProvider clock) =>
        settings.Modem is { Switch: null, NotSo: null } || port is "none" or "emulated" || port.StartsWith("replay:", StringComparison.Ordinal) ? null
        : Of(new PortRequest(port, null, null, 0, settings.Unit ?? LengthUnit.Millimetre, MayPretend: false), settings, _ => new Measured(_ => Length.Zero), clock, LengthUnit.Millimetre).Caliper;

    /// <summary>Tells the emulated caliper which step is to be read.</summary>
    internal void Guide(Step step) => _emulated?.SetTarget(_gap!(step.Id));

    /// <summary>Tells the emulated caliper's blouse which pins were moved.</summary>
    internal void Move(ItemMove move) => _move?.Invoke(move);

    private static CaliperChoice Of(
        PortRequest request, Settings settings, Func<EmulatedCaliper, Measured> measured, TimeProvider clock, LengthUnit emulatedUnit)
    {
        Settings set = request.Format is { } name ? settings with { Format = LineDecoders.FormatOf(name)!.Value } : settings;
        CaliperChoice Emulated(string? remark)
        {
            EmulatedCaliper caliper = new(emulatedUnit, request.Seed, clock);
            return new CaliperChoice(caliper, measured(caliper), "emulated", remark);
        }

        switch (request.Port)
        {
            case "none":
                return new CaliperChoice(null, null, "none", null);
            case "emulated":
                return Emulated(null);
            case "auto":
                PortEntry? only = PortList.OnlyCandidate(PortList.OfMachine().Read(withGhosts: false));
                return only is not null
                    ? Serial(request with { Port = only.Name }, set, $"Caliper on {only.Name}.", clock)
                    : request.MayPretend ? Emulated("No caliper was found: the emulated one is used. Its readings are pretended; name a port with --port for real ones.")
                    : new CaliperChoice(null, null, "none", "No caliper was found: type the lengths, or name a port with --port. For trying out, --port emulated pretends one.");
            case var port when port.StartsWith("replay:", StringComparison.Ordinal):
                return new CaliperChoice(ReplayCaliper.Load(port["replay:".Length..], LineDecoders.For(set), request.BareUnit, clock), null, "replay", null);
            default:
                return Serial(request, set, null, clock);
        }
    }

    private static CaliperChoice Serial(PortRequest given, Settings settings, string? remark, TimeProvider clock)
    {
        PortRequest request = Lasting(given, PortList.OfMachine());
        if (request.Port != given.Port)
        {
            remark = $"{remark ?? $"Caliper on {given.Port}."} It is found again as {request.Port}, whatever number it gets.".TrimStart();
        }

        string serial = request.Serial ?? settings.Serial;
        if (serial == FindSerial)
        {
            AutoDetectCaliper detecting = new(request.Port, found => LineDecoders.For(settings, found), request.BareUnit, clock, modem: settings.Modem, request: settings.Request);
            return new CaliperChoice(detecting, null, request.Port, remark);
        }

        SerialSettings line = SerialSettings.Parse(request.Port, serial, out FramingRefusal? refusal)
            ?? throw new StationException(ExitCode.Usage, $"--serial: {refusal!.Words}");
        SerialCaliper caliper = new(line, LineDecoders.For(settings, line), request.BareUnit, clock, modem: settings.Modem, request: settings.Request);
        return new CaliperChoice(caliper, null, request.Port, remark);
    }

    /// <summary>The same port under the name that survives a replug: the numbers of ttyUSB and ttyACM go by the order of plugging in.</summary>
    internal static PortRequest Lasting(PortRequest request, PortList ports) => request with { Port = ports.StableName(request.Port) };
}
