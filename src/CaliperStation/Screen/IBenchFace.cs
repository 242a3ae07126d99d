namespace CaliperStation.Bench;

/// <summary>What the loop needs of a screen.</summary>
internal interface IBenchFace
{
    /// <summary>Draws this model soon; only the newest counts. From any thread.</summary>
    void Post(BenchModel model);

    /// <summary>Rings so many times. From any thread.</summary>
    void Bell(int count);

    /// <summary>Leaves the screen. From any thread.</summary>
    void Close();
}
