namespace CaliperStation.Core.Readings;

/// <summary>Why a reading is asked about before it is taken.</summary>
public enum WarningKind
{
    /// <summary>The caliper's unit key was pressed since the sitting began.</summary>
    UnitChanged,

    /// <summary>The same value as for the step before, and the caliper was not seen to move.</summary>
    SameAsBefore,

    /// <summary>25.4 times too large or too small: an inch taken for a millimetre.</summary>
    InchForMillimetre,

    /// <summary>Ten times too large or too small: a digit lost or gained.</summary>
    TenTimes,

    /// <summary>The first digit was lost: with one before it the value would belong here.</summary>
    DroppedDigit,

    /// <summary>Beyond anything that the coat allows here.</summary>
    BeyondCoat,

    /// <summary>Negative where nothing can be.</summary>
    Sign,

    /// <summary>Other decimals than before in the same unit: a digit was lost on the way.</summary>
    Decimals,

    /// <summary>More than the instrument can open.</summary>
    BeyondRange,

    /// <summary>A number was typed without a unit, and it could be in more than one, or in another.</summary>
    Unit,

    /// <summary>Another caliper than before is on the line.</summary>
    OtherCaliper,

    /// <summary>A block whose error is more than a millimetre: another block, or another unit.</summary>
    WrongBlock,
}

/// <summary>A question to ask before taking a reading. The value is never changed by the station.</summary>
/// <param name="Kind">Why.</param>
/// <param name="Words">What to tell and ask; constant text without anything from the wire.</param>
public sealed record PlausibilityWarning(WarningKind Kind, string Words);
