using System.Globalization;
using System.IO.Ports;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>What of a framing cannot be read or kept.</summary>
internal enum FramingFault
{
    /// <summary>It does not begin with a rate.</summary>
    Baud,

    /// <summary>After the dash stand other than three characters.</summary>
    Shape,

    /// <summary>The data bits.</summary>
    DataBits,

    /// <summary>The parity.</summary>
    Parity,

    /// <summary>The stop bits.</summary>
    StopBits,
}

/// <summary>Why a framing was refused.</summary>
/// <param name="Fault">What of it.</param>
/// <param name="Words">Why, and what to write instead; safe to show.</param>
internal sealed record FramingRefusal(FramingFault Fault, string Words)
{
    /// <summary>The refusal of a text.</summary>
    internal static FramingRefusal Of(string framing, FramingFault fault)
    {
        string why = fault switch
        {
            FramingFault.Baud => "it must begin with a baud rate, a whole number above 0",
            FramingFault.Shape => "after the dash stand data bits, parity and stop bits, such as 8N1 or 7E2",
            FramingFault.DataBits => "data bits are 7 or 8",
            FramingFault.Parity => "parity is N, O or E; mark and space parity cannot be kept here",
            FramingFault.StopBits => "stop bits are 1 or 2",
        };
        return new(fault, $"\"{PrintableText.Escape(framing)}\" is no serial framing: {why}. Write for example 9600-8N1 or 4800-7E2.");
    }
}

/// <summary>How a serial line is opened.</summary>
/// <param name="Port">The port's name as the person gave it, best one that survives a replug.</param>
/// <param name="Baud">Bits a second; any positive rate, the driver has the last word.</param>
/// <param name="DataBits">7 or 8.</param>
/// <param name="Parity">None, odd or even: the others are silently not kept on Unix.</param>
/// <param name="StopBits">One or two: one and a half silently becomes two on Unix.</param>
internal sealed record SerialSettings(
    string Port, int Baud = 9600, int DataBits = 8, Parity Parity = Parity.None, StopBits StopBits = StopBits.One)
{
    /// <summary>Rate and framing as text, e.g. <c>4800-7E2</c>.</summary>
    public string Framing => string.Create(
        CultureInfo.InvariantCulture,
        $"{Baud}-{DataBits}{ParityLetter}{(StopBits == StopBits.Two ? 2 : 1)}");

    private char ParityLetter => Parity switch
    {
        Parity.Odd => 'O',
        Parity.Even => 'E',
        _ => 'N',
    };

    /// <summary>Reads <c>9600-8N1</c>, <c>4800-7e2</c> or a bare rate, which means 8N1.</summary>
    /// <returns>The settings, or null with the reason and what to write instead.</returns>
    internal static SerialSettings? Parse(string port, string framing, out FramingRefusal? refusal)
    {
        string text = framing.Trim();
        int dash = text.IndexOf('-', StringComparison.Ordinal);
        string rate = dash < 0 ? text : text[..dash];
        if (!int.TryParse(rate, NumberStyles.None, CultureInfo.InvariantCulture, out int baud) || baud <= 0)
        {
            refusal = FramingRefusal.Of(framing, FramingFault.Baud);
            return null;
        }

        if (dash < 0)
        {
            refusal = null;
            return new SerialSettings(port, baud);
        }

        string frame = text[(dash + 1)..].ToUpperInvariant();
        if (frame.Length != 3)
        {
            refusal = FramingRefusal.Of(framing, FramingFault.Shape);
            return null;
        }

        int? dataBits = frame[0] switch { '7' => 7, '8' => 8, _ => null };
        Parity? parity = frame[1] switch { 'N' => Parity.None, 'O' => Parity.Odd, 'E' => Parity.Even, _ => null };
        StopBits? stopBits = frame[2] switch { '1' => StopBits.One, '2' => StopBits.Two, _ => null };
        refusal = (dataBits, parity, stopBits) switch
        {
            (null, _, _) => FramingRefusal.Of(framing, FramingFault.DataBits),
            (_, null, _) => FramingRefusal.Of(framing, FramingFault.Parity),
            (_, _, null) => FramingRefusal.Of(framing, FramingFault.StopBits),
            _ => null,
        };
        return refusal is null ? new SerialSettings(port, baud, dataBits!.Value, parity!.Value, stopBits!.Value) : null;
    }
}
