using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Wire;

/// <summary>The 24-bit single frame: magnitude, sign, unit. It carries no check but its length and two zero bits.</summary>
public static class Bits24Decoder
{
    internal const string WrongLength = "the frame does not have 24 bits";
    internal const string ZerosSet = "a bit that is always 0 in this format is 1: wires swapped, line inverted, or noise";

    /// <summary>The value or why there is none.</summary>
    public static FrameEvent Decode(FrameBits frame, Bits24Options? options = null)
    {
        if (frame.Count != Bits24Layout.Length)
        {
            return FrameEvent.Refused(WrongLength);
        }

        if (frame.Field(Bits24Layout.Zeros, Bits24Layout.ZeroBits) != 0)
        {
            return FrameEvent.Refused(ZerosSet);
        }

        LengthUnit unit = frame.Bit(Bits24Layout.Inch) ? LengthUnit.Inch : LengthUnit.Millimetre;
        Length step = (options ?? Bits24Options.Default).StepIn(unit);
        Length magnitude = step.Times(frame.Field(Bits24Layout.Magnitude, Bits24Layout.MagnitudeBits));
        return FrameEvent.Of(frame.Bit(Bits24Layout.Sign) ? -magnitude : magnitude, unit, step);
    }
}

/// <summary>The 24-bit single frame, bit by bit in arrival order.</summary>
/// <remarks>
/// Layout as seen in published captures: github.com/sigrokproject/sigrok-dumps, folder caliper. Bits 21 and 22 are 0 in all of them.
/// </remarks>
internal static class Bits24Layout
{
    public const int Length = 24;

    /// <summary>Bits 0 to 19: plain binary count of steps, lowest bit first.</summary>
    public const int Magnitude = 0;

    public const int MagnitudeBits = 20;

    /// <summary>Bit 20: 1 is negative.</summary>
    public const int Sign = 20;

    /// <summary>Bits 21 and 22: always 0.</summary>
    public const int Zeros = 21;

    public const int ZeroBits = 2;

    /// <summary>Bit 23: 1 is an inch display (a fraction display is sent as inch too).</summary>
    public const int Inch = 23;
}

/// <summary>What one count stands for; some gauges send finer steps in the same frame, so it is a setting.</summary>
/// <param name="MillimetreStep">One count when the display shows millimetres; positive.</param>
/// <param name="InchStep">One count when the display shows inches; positive.</param>
public sealed record Bits24Options(Length MillimetreStep, Length InchStep)
{
    /// <summary>0.01 mm and 0.0005 in.</summary>
    public static Bits24Options Default { get; } = new(Length.FromMicrometres(10), Length.FromNanometres(12_700));

    /// <summary>0.001 mm and 0.00005 in.</summary>
    public static Bits24Options Fine { get; } = new(Length.FromMicrometres(1), Length.FromNanometres(1_270));

    /// <summary>The step in a unit.</summary>
    internal Length StepIn(LengthUnit unit) => unit switch
    {
        LengthUnit.Millimetre => MillimetreStep,
        LengthUnit.Inch => InchStep,
    };
}
