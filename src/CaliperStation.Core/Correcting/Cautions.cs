namespace CaliperStation.Core.Correcting;

/// <summary>What is said wherever a pin is to be moved or a blade taken up: on the screen, in lines, by <c>advise</c> and on paper.</summary>
public static class Cautions
{
    /// <summary>One sentence, common practice at such benches, no source; the company's own rules come first.</summary>
    public const string Pins = "Pins are sharp: move them with the point away from you, count them, and follow your company's safety rules.";

    /// <summary>What is said where a backing is to be cut; common practice, no source.</summary>
    public const string Blades = "Blades cut: hold the template down with a metal rule, cut away from your hand on a mat, sheathe the blade after, and follow your company's safety rules.";
}
