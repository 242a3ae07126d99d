using CaliperStation.Demonstration;

namespace CaliperStation.Tests.Demonstration;

public class DemonstrationStandardTests
{
    [Fact]
    public void The_program_carries_the_very_file_of_the_documentation()
    {
        byte[] documented = File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "Documentation", DemonstrationStandard.Name));

        Assert.Equal(documented, DemonstrationStandard.Bytes());
        Assert.Equal("Harbour Lantern Company, dress blouse", DemonstrationStandard.Load().Name);
    }
}
