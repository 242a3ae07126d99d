
namespace CaliperStation.Devices;

/// <summary>One serial port of the machine. Every text is safe for a terminal.</summary>
/// <param name="Name">The name to use: one that survives a replug where there is one.</param>
/// <param name="Node">The node behind it.</param>
/// <param name="What">What is plugged in, as the device says it, or what kind of port it is.</param>
/// <param name="IsStable">True when the name stays the same after a replug.</param>
/// <param name="IsGhost">True for a built-in port that the machine does not really have.</param>
/// <param name="Trouble">Why it cannot be opened, or null.</param>
internal sealed record PortEntry(string Name, string Node, string What, bool IsStable, bool IsGhost, PortTrouble? Trouble);
