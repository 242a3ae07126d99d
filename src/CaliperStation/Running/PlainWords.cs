using CaliperStation.Core.Sittings;

namespace CaliperStation.Running;

/// <summary>What both plain faces say at a prompt.</summary>
internal static class PlainWords
{
    /// <summary>Kind, step, words, hint and caution of the present prompt.</summary>
    internal static (string Kind, string? Step, string Ask, string? Hint, string? Caution) Prompt(Prompt prompt) => prompt switch
    {
        Core.Sittings.Prompt.Ready ready => ("ready", ready.Line.Id, ready.Line.Ask, ready.Line.Hint, ready.Line.Caution),
        Core.Sittings.Prompt.Read { Again: not null } read => ("reading", read.Step.Id, $"{Sitting.Wanted(read)}: {read.Step.Ask}", read.Step.Hint, read.Step.Caution),
        Core.Sittings.Prompt.Read read => ("reading", read.Step.Id, read.Step.Ask, read.Step.Hint, read.Step.Caution),
        Core.Sittings.Prompt.Decide decide => ("reading", decide.Last.Id, Sitting.Wanted(decide), null, decide.Last.Caution),
        Core.Sittings.Prompt.Sign => ("sign", null, "All is read. Sign with the initials of the hand.", null, null),
        Core.Sittings.Prompt.Closed => ("closed", null, "This sitting is closed.", null, null),
        _ => throw new System.Diagnostics.UnreachableException(),
    };
}
