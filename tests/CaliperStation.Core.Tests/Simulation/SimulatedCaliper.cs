using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Tests.Simulation;

/// <summary>How a caliper sends.</summary>
internal enum CaliperKind
{
    /// <summary>Ten values a second.</summary>
    Streaming,

    /// <summary>One value when it is asked.</summary>
    Asked,

    /// <summary>One value when its own button is pressed.</summary>
    OwnButton,

    /// <summary>It types as a keyboard.</summary>
    Keyboard,

    /// <summary>There is none.</summary>
    None,
}

/// <summary>A caliper and its line: what it sends and when, with noise, silence, bad frames and losses.</summary>
internal sealed class SimulatedCaliper(Random random, CaliperKind kind, ReadingSource source, bool isSound)
{
    private static readonly TimeSpan Period = TimeSpan.FromMilliseconds(100);

    private readonly PriorityQueue<Func<TimeSpan, CaliperEvent?>, TimeSpan> _due = new();
    private double _from;
    private double _to;
    private TimeSpan _moveBegins;
    private TimeSpan _moveEnds;
    private bool _inch;
    private bool _open;
    private TimeSpan _silentUntil;
    private long _number;

    internal CaliperKind Kind => kind;

    internal ReadingSource Source => source;

    internal int Losses { get; private set; }

    internal bool IsOnLine => kind is CaliperKind.Streaming or CaliperKind.Asked or CaliperKind.OwnButton;

    internal TimeSpan Due => _due.TryPeek(out _, out TimeSpan at) ? at : TimeSpan.MaxValue;

    internal LiveCaliper Begin(TimeSpan now)
    {
        _due.Clear();
        _open = false;
        if (!IsOnLine)
        {
            return new LiveCaliper();
        }

        At(now + Ms(20, 600), Opens);
        return new LiveCaliper { Name = "caliper", Source = source, IsAsked = kind == CaliperKind.Asked };
    }

    /// <summary>What the caliper or its line does now; null when that comes to nothing.</summary>
    internal CaliperEvent? Next(TimeSpan now) => _due.Dequeue()(now);

    /// <summary>The hand moves the jaws.</summary>
    internal void MoveJaws(double nanometres, TimeSpan now, TimeSpan takes)
    {
        _from = Jaws(now);
        (_to, _moveBegins, _moveEnds) = (nanometres, now, now + takes);
    }

    internal void PressUnitKey() => _inch = !_inch;

    /// <summary>True when the unit key stands as at the beginning.</summary>
    internal bool IsInFirstUnit => !_inch;

    /// <summary>Its own button: it sends at once.</summary>
    internal void PressOwnButton(TimeSpan now)
    {
        if (_open)
        {
            At(now, then => Value(then));
        }
    }

    /// <summary>It is asked for a value; false when its line is lost.</summary>
    internal bool Ask(TimeSpan now)
    {
        if (!_open)
        {
            return false;
        }

        double fate = isSound ? 1 : random.NextDouble();
        if (fate < 0.03)
        {
            return true;   // never answers
        }

        if (fate < 0.06)
        {
            At(now + Ms(2_050, 5_000), then => _open ? Value(then) : null);   // late
            return true;
        }

        if (fate < 0.08)
        {
            At(now + Ms(50, 300), _ => _open ? new CaliperEvent.Refused(FrameReason.Garbled, "The frame is garbled.", "\\x00") : null);
            return true;
        }

        At(now + Ms(40, 400), then => _open ? Value(then) : null);
        if (fate < 0.12)
        {
            At(now + Ms(450, 900), then => _open ? Value(then) : null);   // twice
        }

        return true;
    }

    /// <summary>What a keyboard caliper types now.</summary>
    internal string Types(TimeSpan now) => Shown(now).ToString(_inch ? "0.0000" : "0.00", System.Globalization.CultureInfo.InvariantCulture);

    private double Jaws(TimeSpan now) =>
        now >= _moveEnds ? _to : _from + ((_to - _from) * ((now - _moveBegins) / (_moveEnds - _moveBegins)));

    private double Shown(TimeSpan now)
    {
        Length value = Display(now);
        return value.Nanometres / (_inch ? 25_400_000.0 : 1_000_000.0);
    }

    private Length Display(TimeSpan now)
    {
        long step = _inch ? 12_700 : 10_000;
        double flicker = now < _moveEnds ? 0 : random.Next(-1, 2) * (random.NextDouble() < 0.3 ? step : 0);
        return Length.FromNanometres((long)Math.Round((Jaws(now) + flicker) / step) * step);
    }

    private CaliperEvent.Value Value(TimeSpan now) => new CaliperEvent.Value(new Reading(
        Display(now), _inch ? LengthUnit.Inch : LengthUnit.Millimetre, Length.FromNanometres(_inch ? 12_700 : 10_000), source, SimulatedSitting.Instant(now), $"v{++_number}")
    {
        Arrived = now,
    });

    private CaliperEvent Opens(TimeSpan now)
    {
        _open = true;
        if (kind == CaliperKind.Streaming)
        {
            At(now + Period, Streams);
        }

        if (!isSound)
        {
            At(now + Ms(5_000, 240_000), Goes);
            if (random.NextDouble() < 0.05 && Losses > 0)
            {
                At(now, _ => new CaliperEvent.Noted(NoteKind.OtherDevice, "Another caliper is on the line."));
            }
        }

        return new CaliperEvent.Opened();
    }

    private CaliperEvent Goes(TimeSpan now)
    {
        _open = false;
        _due.Clear();
        Losses++;
        At(now + Ms(300, 8_000), Opens);
        return new CaliperEvent.Lost(LossKind.Gone, "The caliper was unplugged.");
    }

    private CaliperEvent? Streams(TimeSpan now)
    {
        At(now + Period, Streams);
        if (now < _silentUntil)
        {
            return null;
        }

        double fate = isSound ? 1 : random.NextDouble();
        if (fate < 0.0015)
        {
            _silentUntil = now + Ms(300, 4_000);
            return null;
        }

        return fate < 0.006 ? new CaliperEvent.Refused(FrameReason.Garbled, "The frame is garbled.", "\\xff")
            : fate < 0.0065 ? new CaliperEvent.Diagnosed(LineTrouble.Inverted, "The line seems inverted.")
            : fate < 0.0075 ? new CaliperEvent.Diagnosed(null, null)
            : fate < 0.008 ? new CaliperEvent.Noted(NoteKind.CellLow, "The cell is low.")
            : Value(now);
    }

    private void At(TimeSpan when, Func<TimeSpan, CaliperEvent?> does) => _due.Enqueue(does, when);

    private TimeSpan Ms(int from, int to) => TimeSpan.FromMilliseconds(random.Next(from, to));
}
