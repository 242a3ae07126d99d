using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>The modem lines of one caliper's port: outputs kept on, a wired foot switch, and requests by DTR. Polled with the port, by its owner.</summary>
/// <remarks>
/// A level counts when it was the same for <see cref="Steady"/>, three times the worst bounce measured on eighteen switches (6.2 ms;
/// uruvideo.com/how-long-is-switch-debounce); only the way to pressed is a press; which presses are the same one is the bench's to say (<see cref="PressGate"/>).
/// A switch that is down when the port opens has not been pressed.
/// </remarks>
internal sealed class FootSwitch(ModemSettings settings, Action<CaliperEvent> post, TimeProvider time)
{
    internal static readonly TimeSpan Steady = TimeSpan.FromMilliseconds(20);

    private IModemLines? _lines;
    private bool? _counted;      // the level that counts; null before the first
    private bool _seen;
    private long _since;
    private bool _dtrComesBack;
    private bool _told;

    /// <summary>The port was opened.</summary>
    internal void Begin(ISerialLine line)
    {
        (_lines, _counted, _dtrComesBack) = (line as IModemLines, null, false);
        if (settings.Rts)
        {
            Try(lines => lines.Put(ModemOutput.Rts, true));
        }

        if (settings.Dtr)
        {
            Try(lines => lines.Put(ModemOutput.Dtr, true));
        }
    }

    /// <summary>Looks at the switch, and ends a request begun at the poll before.</summary>
    internal void Poll()
    {
        if (_dtrComesBack)
        {
            _dtrComesBack = false;
            Try(lines => lines.Put(ModemOutput.Dtr, true));
        }

        if (settings.Switch is { } input && _lines is not null)
        {
            Try(lines => Look(lines.IsOn(input) == settings.PressedWhenOn));
        }
    }

    /// <summary>Asks by DTR: off now, on at the next poll, so that both edges are there whatever it was.</summary>
    internal void Toggle()
    {
        Try(lines => lines.Put(ModemOutput.Dtr, false));
        _dtrComesBack = _lines is not null;
    }

    private void Look(bool pressed)
    {
        long now = time.GetTimestamp();
        if (_counted is null)
        {
            (_counted, _seen, _since) = (pressed, pressed, now);
            return;
        }

        if (pressed != _seen)
        {
            (_seen, _since) = (pressed, now);
        }

        if (_seen == _counted || time.GetElapsedTime(_since, now) < Steady)
        {
            return;
        }

        _counted = _seen;
        if (_seen)
        {
            post(new CaliperEvent.Press());
        }
    }

    /// <summary>A port without modem lines goes on as a port; that it has none is told once.</summary>
    private void Try(Action<IModemLines> act)
    {
        try
        {
            if (_lines is { } lines)
            {
                act(lines);
                return;
            }
        }
        catch (Exception e) when (SerialLink.IsLineFailure(e))
        {
            _lines = null;
        }

        if (!_told)
        {
            _told = true;
            post(new CaliperEvent.Noted(NoteKind.NoSwitch, "this port has no modem lines that can be used: a switch, power or a request on them is not available; everything else is"));
        }
    }
}
