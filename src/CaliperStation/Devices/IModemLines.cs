
namespace CaliperStation.Devices;

/// <summary>An input of a serial port that a switch may be wired to. A ring line has no level that can be polled, so it is none of these.</summary>
internal enum ModemInput
{
    /// <summary>Clear to send.</summary>
    Cts,

    /// <summary>Data set ready.</summary>
    Dsr,

    /// <summary>Data carrier detect.</summary>
    Dcd,
}

/// <summary>An output of a serial port that can power a switch or an instrument.</summary>
internal enum ModemOutput
{
    /// <summary>Request to send.</summary>
    Rts,

    /// <summary>Data terminal ready.</summary>
    Dtr,
}

/// <summary>The modem lines of an open serial line. Where there are none, every call throws what <see cref="SerialLink.IsLineFailure"/> knows.</summary>
internal interface IModemLines
{
    /// <summary>True when the input is on.</summary>
    bool IsOn(ModemInput input);

    /// <summary>Puts an output on or off.</summary>
    void Put(ModemOutput output, bool on);
}

/// <summary>How the modem lines are used.</summary>
/// <param name="Rts">Keep RTS on: it powers an adapter, an instrument or a switch.</param>
/// <param name="Dtr">Keep DTR on.</param>
/// <param name="Switch">Where a foot switch is wired to, or null.</param>
/// <param name="NotSo">Where a second switch is wired to, or null.</param>
/// <param name="PressedWhenOn">True when the contact closes on a press; false for one that opens.</param>
internal sealed record ModemSettings(bool Rts = false, bool Dtr = false, ModemInput? Switch = null, ModemInput? NotSo = null, bool PressedWhenOn = true)
{
    /// <summary>Lines left alone.</summary>
    internal static ModemSettings Unused { get; } = new();
}

/// <summary>How a caliper is asked for a value.</summary>
/// <param name="Bytes">What is sent; null to toggle DTR instead.</param>
internal sealed record CaliperRequest(byte[]? Bytes)
{
    /// <summary>DTR off and on again, as a simplex cable wants it.</summary>
    internal static CaliperRequest ToggleDtr { get; } = new((byte[]?)null);
}
