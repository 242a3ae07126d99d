using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>The modem lines of one caliper's port: outputs kept on, one or two wired foot switches, and requests by DTR. Polled with the port, by its owner.</summary>
/// <remarks>
/// A level counts when it was the same for <see cref="Steady"/>, three times the worst bounce measured on eighteen switches (6.2 ms;
/// uruvideo.com/how-long-is-switch-debounce); only the way to pressed is a press; which presses are the same one is the bench's to say (<see cref="PressGate"/>).
/// A switch that is down when the port opens has not been pressed.
/// </remarks>
internal sealed class FootSwitch(ModemSettings settings, Action<CaliperEvent> post, TimeProvider time)
{
    internal static readonly TimeSpan Steady = TimeSpan.FromMilliseconds(20);

    private readonly Contact[] _contacts =
    [
        .. settings.Switch is { } press ? [new Contact(press, new CaliperEvent.Press())] : (Contact[])[],
        .. settings.NotSo is { } notSo ? [new Contact(notSo, new CaliperEvent.NotSo())] : (Contact[])[],
    ];

    private IModemLines? _lines;
    private bool _dtrComesBack;
    private bool _told;

    /// <summary>The port was opened.</summary>
    internal void Begin(ISerialLine line)
    {
        (_lines, _dtrComesBack) = (line as IModemLines, false);
        foreach (Contact contact in _contacts)
        {
            contact.Counted = null;
        }

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

        foreach (Contact contact in _lines is null ? [] : _contacts)
        {
            Try(lines => Look(contact, lines.IsOn(contact.Input) == settings.PressedWhenOn));
        }
    }

    /// <summary>Asks by DTR: off now, on at the next poll, so that both edges are there whatever it was.</summary>
    internal void Toggle()
    {
        Try(lines => lines.Put(ModemOutput.Dtr, false));
        _dtrComesBack = _lines is not null;
    }

    private void Look(Contact contact, bool pressed)
    {
        long now = time.GetTimestamp();
        if (contact.Counted is null)
        {
            (contact.Counted, contact.Seen, contact.Since) = (pressed, pressed, now);
            return;
        }

        if (pressed != contact.Seen)
        {
            (contact.Seen, contact.Since) = (pressed, now);
        }

        if (contact.Seen == contact.Counted || time.GetElapsedTime(contact.Since, now) < Steady)
        {
            return;
        }

        contact.Counted = contact.Seen;
        if (contact.Seen)
        {
            post(contact.Pressed);
        }
    }

    /// <summary>A port without modem lines goes on as a port; that it has none is said once.</summary>
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

    private sealed class Contact(ModemInput input, CaliperEvent pressed)
    {
        internal ModemInput Input => input;

        internal CaliperEvent Pressed => pressed;

        internal bool? Counted { get; set; }   // the level that counts; null before the first

        internal bool Seen { get; set; }

        internal long Since { get; set; }
    }
}
