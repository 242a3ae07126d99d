using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Frames;

/// <summary>What a person must tell the decoder because the wire does not.</summary>
/// <param name="AssumedUnit">
/// The unit of lines that name none, as the instrument is set; null refuses such lines, for 25.4 is too large an error to guess.
/// </param>
/// <param name="MaskBit8">True when the instrument leaves bit 8 undefined (1200 baud 8N2 types): every byte is taken modulo 128.</param>
/// <param name="Only">When set, value lines of every other grammar are refused: a lost byte then cannot turn one grammar into another.</param>
public sealed record AsciiOptions(LengthUnit? AssumedUnit = null, bool MaskBit8 = false, AsciiGrammar? Only = null)
{
    /// <summary>Lines must name their unit; all eight bits count; any grammar.</summary>
    public static AsciiOptions Default { get; } = new();
}
