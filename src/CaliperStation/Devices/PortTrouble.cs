using CaliperStation.Core.Readings;

namespace CaliperStation.Devices;

/// <summary>Why a port cannot be opened.</summary>
internal enum PortTroubleKind
{
    /// <summary>There is no such port.</summary>
    NoSuchPort,

    /// <summary>Another program holds it.</summary>
    Busy,

    /// <summary>This user may not open it.</summary>
    Denied,

    /// <summary>There is something of that name, but no serial line behind it.</summary>
    NotSerial,

    /// <summary>The driver refused the settings, or failed.</summary>
    Failed,
}

/// <summary>Why a port cannot be opened, and what to do, in words that are safe for a terminal.</summary>
internal sealed record PortTrouble(PortTroubleKind Kind, string Words)
{
    /// <summary>The same as the bench calls it.</summary>
    internal LossKind Loss => Kind switch
    {
        PortTroubleKind.NoSuchPort => LossKind.NotThere,
        PortTroubleKind.Busy => LossKind.Busy,
        PortTroubleKind.Denied => LossKind.NotAllowed,
        PortTroubleKind.NotSerial or PortTroubleKind.Failed => LossKind.Failed,
    };

    /// <summary>The event that the bench gets.</summary>
    internal CaliperEvent.Lost Told => new(Loss, Words);
}
