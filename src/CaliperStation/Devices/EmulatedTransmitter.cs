using System.Globalization;
using System.Text;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>How an emulated caliper transmits.</summary>
/// <param name="Unit">What it displays.</param>
/// <param name="Terminator">What ends a line.</param>
/// <param name="Rate">Values a second; 0 sends on a press only.</param>
/// <param name="Baud">Limits how fast lines can follow each other.</param>
/// <param name="Seed">The same seed does the same.</param>
internal sealed record TransmitterSettings(LengthUnit Unit, string Terminator, double Rate, int Baud, ulong Seed);

/// <summary>Decides what an emulated caliper on a wire sends and when. Takes no time of its own: each look is one call.</summary>
internal sealed class EmulatedTransmitter
{
    // Start bit, eight bits, stop bit.
    private const double BitsPerByte = 10;
    private const int LineBytes = 14;

    // Every so often another gap when nobody says which: 1/16 in to 2 in.
    private const int MaxHalfTicks = 128;
    private static readonly TimeSpan _wander = TimeSpan.FromSeconds(3);

    private readonly TransmitterSettings _settings;
    private readonly TimeProvider _time;
    private readonly Action<byte[]> _send;
    private readonly EmulatedCaliper _caliper;
    private readonly Queue<EmulationAct> _script;
    private readonly SeededNoise _noise;
    private readonly TimeSpan _between;
    private bool _wandering;
    private bool _streaming;
    private long _wanders;
    private long _nextValue;
    private long _nextWander;
    private long _nextAct;

    /// <summary>A transmitter that follows a script, or wanders from gap to gap when there is none.</summary>
    internal EmulatedTransmitter(TransmitterSettings settings, IReadOnlyList<EmulationAct> script, TimeProvider time, Action<byte[]> send)
    {
        _settings = settings;
        _time = time;
        _send = send;
        _caliper = new EmulatedCaliper(settings.Unit, settings.Seed, time);
        _script = new Queue<EmulationAct>(script);
        _noise = new SeededNoise(settings.Seed);
        _wandering = script.Count == 0;
        _streaming = _wandering && settings.Rate > 0;
        double lineTime = LineBytes * BitsPerByte / settings.Baud;
        _between = TimeSpan.FromSeconds(Math.Max(lineTime, settings.Rate > 0 ? 1 / settings.Rate : lineTime));
        _nextValue = _nextWander = _nextAct = time.GetTimestamp();
    }

    /// <summary>An act from outside, at once. Naming a gap ends the wandering.</summary>
    internal void Do(EmulationAct act) => Perform(act, fromScript: false);

    /// <summary>Does what is due by now.</summary>
    internal void Look()
    {
        while (_script.Count > 0 && IsDue(_nextAct))
        {
            Perform(_script.Dequeue(), fromScript: true);
        }

        if (_wandering && IsDue(_nextWander))
        {
            _nextWander = After(_wander);
            _caliper.SetTarget(Length.FromSixtyFourths(4 + (long)(_noise.Bits(_wanders++) % (MaxHalfTicks - 3))));
        }

        if (_streaming && IsDue(_nextValue))
        {
            Speak(_caliper.Now().Reading.Raw);
        }
    }

    private void Perform(EmulationAct act, bool fromScript)
    {
        switch (act)
        {
            case EmulationAct.Gap gap:
                _wandering = false;
                _streaming = _settings.Rate > 0;
                _caliper.SetTarget(gap.Value);
                break;
            case EmulationAct.Show show:
                _wandering = _streaming = false;
                Speak(_caliper.Settle(show.Value).Reading.Raw);
                _nextAct = After(_between);
                break;
            case EmulationAct.Send raw:
                _streaming = _streaming && !fromScript;
                _send(raw.Bytes);
                break;
            case EmulationAct.Press:
                Speak(_caliper.Now().Reading.Raw);
                break;
            case EmulationAct.Wait wait when fromScript:
                _nextAct = After(wait.Time);
                break;
        }
    }

    private void Speak(string text)
    {
        _nextValue = After(_between);
        _send(Encoding.ASCII.GetBytes(text + _settings.Terminator));
    }

    private bool IsDue(long when) => _time.GetTimestamp() >= when;

    private long After(TimeSpan wait) => _time.GetTimestamp() + (long)(wait.TotalSeconds * _time.TimestampFrequency);
}

/// <summary>A value as a caliper's line transmits it: sign, decimal number, blank, unit.</summary>
internal static class TransmittedValue
{
    /// <summary>One count of an ordinary display: 0.01 mm or 0.0005 in.</summary>
    internal static Length ResolutionOf(LengthUnit unit) => unit switch
    {
        LengthUnit.Millimetre => Length.FromNanometres(10_000),
        LengthUnit.Inch => Length.FromNanometres(12_700),
    };

    /// <summary>E.g. <c>+12.34 mm</c>, <c>-0.5000 in</c>. The value is shown to the display's last digit.</summary>
    internal static string Text(Length value, LengthUnit unit)
    {
        (long step, int decimals, string name) = unit switch
        {
            LengthUnit.Millimetre => (10_000L, 2, "mm"),
            LengthUnit.Inch => (2_540L, 4, "in"),   // 0.0001 in: the last digit of a display that counts 0.0005 in
        };
        Length shown = value.RoundedTo(Length.FromNanometres(step), Rounding.HalfEven);
        string digits = (shown.Abs().Nanometres / step).ToString(CultureInfo.InvariantCulture).PadLeft(decimals + 1, '0');
        return $"{(shown < Length.Zero ? '-' : '+')}{digits[..^decimals]}.{digits[^decimals..]} {name}";
    }
}
