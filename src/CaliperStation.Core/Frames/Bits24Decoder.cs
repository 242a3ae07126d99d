using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

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
